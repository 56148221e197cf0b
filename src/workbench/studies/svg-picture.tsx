import { useEffect, useMemo, useState } from 'react'
import type { Result } from '../../failure.ts'

interface SvgPictureProps {
  readonly label: string
  readonly svg: Result<string>
}

/** A drawing of the report room, exactly as it is saved; as a picture, so that its styles stay its own. */
export function SvgPicture({ label, svg }: SvgPictureProps) {
  const [url, setUrl] = useState<string | null>(null)
  const drawn = useMemo(() => (svg.ok ? svg.value : null), [svg])
  useEffect(() => {
    if (drawn === null) return setUrl(null)
    const made = URL.createObjectURL(new Blob([drawn], { type: 'image/svg+xml' }))
    setUrl(made)
    return () => URL.revokeObjectURL(made)
  }, [drawn])
  if (!svg.ok) return <p role="alert">{svg.failure.message}</p>
  return url === null ? null : <img className="svg-picture" src={url} alt={label} />
}
