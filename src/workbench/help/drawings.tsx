import type { ReactNode } from 'react'

export type DrawingName =
  | 'limb'
  | 'ldfa'
  | 'mpta'
  | 'joint-lines'
  | 'slope'
  | 'stack'
  | 'level'
  | 'shear'
  | 'edge'
  | 'rotation'
  | 'pieces'
  | 'limits'
  | 'share'
  | 'press'
  | 'head'
  | 'spread'

const femur = <path className="draw-bone" d="M30 4 L27 46 Q20 50 22 56 Q30 60 38 56 Q40 50 34 46 Z" />
const tibia = <path className="draw-bone" d="M22 62 Q30 60 38 62 L35 74 L33 104 L28 104 L26 74 Z" />

const drawings: Readonly<Record<DrawingName, ReactNode>> = {
  limb: (
    <>
      {femur}
      {tibia}
      <path className="draw-axis" d="M31 4 L30 59 L30 104" />
    </>
  ),
  ldfa: (
    <>
      {femur}
      <path className="draw-axis" d="M31 4 L30 58" />
      <path className="draw-line" d="M12 59 L48 56" />
      <path className="draw-arc" d="M30 46 A12 12 0 0 0 18 58" />
    </>
  ),
  mpta: (
    <>
      {tibia}
      <path className="draw-axis" d="M30 60 L31 104" />
      <path className="draw-line" d="M12 60 L48 63" />
      <path className="draw-arc" d="M30 74 A12 12 0 0 0 42 63" />
    </>
  ),
  'joint-lines': (
    <>
      {femur}
      {tibia}
      <path className="draw-line" d="M10 58 L50 55" />
      <path className="draw-line" d="M10 60 L50 64" />
    </>
  ),
  slope: (
    <>
      <path className="draw-bone" d="M18 34 Q32 26 46 40 L40 62 L37 104 L26 104 L24 62 Z" />
      <path className="draw-axis" d="M31 30 L31 104" />
      <path className="draw-line" d="M8 27 L54 43" />
    </>
  ),
  stack: (
    <>
      <path className="draw-taken" d="M12 30 h14 v58 h-14 Z" />
      <path className="draw-kerf" d="M12 88 h14 v8 h-14 Z" />
      <path className="draw-back" d="M34 30 h14 v66 h-14 Z" />
      <path className="draw-floor" d="M6 96 H54" />
    </>
  ),
  level: (
    <>
      <path className="draw-plumb" d="M30 6 V96" />
      <path className="draw-vial" d="M8 46 Q4 51 8 56 L50 64 Q56 60 52 54 Z" />
      <circle className="draw-bubble" cx="24" cy="54" r="4" />
      <path className="draw-floor" d="M2 98 H58" />
    </>
  ),
  shear: (
    <>
      <path className="draw-vial" d="M6 66 L54 78 L53 84 L5 72 Z" />
      <path className="draw-taken-line" d="M30 10 V70" />
      <path className="draw-line" d="M30 70 L46 74" />
      <path className="draw-axis" d="M30 70 L36 40" />
    </>
  ),
  edge: (
    <>
      <path className="draw-back" d="M6 66 H54 V80 H6 Z" />
      <circle className="draw-ring" cx="44" cy="48" r="18" />
      <circle className="draw-bubble" cx="46" cy="66" r="4" />
    </>
  ),
  rotation: (
    <>
      <path
        className="draw-bone"
        d="M8 60 Q6 44 20 42 Q30 34 40 42 Q54 44 52 60 Q46 72 36 64 Q30 58 24 64 Q14 72 8 60 Z"
      />
      <path className="draw-line" d="M6 70 L54 70" />
      <path className="draw-axis" d="M5 56 L55 48" />
    </>
  ),
  pieces: (
    <>
      <path className="draw-bone" d="M12 48 H48 L44 104 H16 Z" />
      <path className="draw-taken" d="M12 24 Q30 14 48 24 L48 36 H12 Z" />
      <path className="draw-line" d="M6 48 H54" />
    </>
  ),
  limits: (
    <>
      <path className="draw-floor" d="M6 60 H54" />
      <path className="draw-line" d="M16 48 V72" />
      <path className="draw-line" d="M44 48 V72" />
      <circle className="draw-bubble" cx="36" cy="60" r="4" />
    </>
  ),
  share: (
    <>
      <path className="draw-back" d="M6 64 H54 V72 H6 Z" />
      <path className="draw-plumb" d="M24 8 V64" />
      <path className="draw-taken" d="M12 36 h8 v28 h-8 Z" />
      <path className="draw-taken" d="M40 50 h8 v14 h-8 Z" />
    </>
  ),
  press: (
    <>
      <path className="draw-back" d="M6 44 H54 V52 H6 Z" />
      <path className="draw-taken" d="M6 54 L54 54 L54 58 L6 86 Z" />
      <path className="draw-plumb" d="M22 8 V44" />
    </>
  ),
  head: (
    <>
      <path className="draw-bone" d="M26 40 L24 104 H38 L36 46 Z" />
      <circle className="draw-ring" cx="24" cy="28" r="14" />
      <circle className="draw-bubble" cx="24" cy="28" r="3" />
    </>
  ),
  spread: (
    <>
      <path className="draw-floor" d="M4 84 H56" />
      <path className="draw-line" d="M6 84 Q22 82 26 50 Q30 18 34 50 Q38 82 54 84" />
      <path className="draw-plumb" d="M18 60 V92" />
      <path className="draw-plumb" d="M42 60 V92" />
    </>
  ),
}

/** A small drawing for a word; the words say the same. */
export const Drawing = ({ name }: { readonly name: DrawingName }) => (
  <svg className="term-drawing" viewBox="0 0 60 108" aria-hidden="true">
    {drawings[name]}
  </svg>
)
