import { useState } from 'react'
import { takeSnapshot } from '../live/take-snapshot.ts'
import { Segmented } from '../parts/segmented.tsx'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Dialog } from './dialog.tsx'

const sizes = ['1', '2', '3', '4'] as const
type Size = (typeof sizes)[number]

/** How a picture of the view is wanted, and where it goes. */
export function SnapshotDialog() {
  const open = useWorkbenchState((state) => state.snapshotOpen)
  return open ? <OpenDialog /> : null
}

function OpenDialog() {
  const workbench = useWorkbench()
  const [size, setSize] = useState<Size>('2')
  const [ground, setGround] = useState<'transparent' | 'white'>('transparent')
  const [labels, setLabels] = useState<'with' | 'without'>('with')
  const close = () => workbench.store.getState().showSnapshot(false)
  const take = async (to: 'file' | 'clipboard') => {
    const options = { enlargement: Number(size), ground, labels: labels === 'with' }
    if (await takeSnapshot(workbench, options, to)) close()
  }
  return (
    <Dialog label={text.picture} onClose={close}>
      <h2 className="dialog-title">{text.picture}</h2>
      <Segmented
        label="Size, times the screen"
        options={sizes.map((value) => ({ value, label: `${value}×` }))}
        value={size}
        onChange={setSize}
      />
      <Segmented
        label="Ground"
        options={[
          { value: 'transparent', label: 'Transparent' },
          { value: 'white', label: 'White' },
        ]}
        value={ground}
        onChange={setGround}
      />
      <Segmented
        label="Labels and scale bar"
        options={[
          { value: 'with', label: 'With' },
          { value: 'without', label: 'Without' },
        ]}
        value={labels}
        onChange={setLabels}
      />
      <p className="field-note">{text.pictureNote}</p>
      <div className="dialog-buttons">
        <button type="button" className="button strong" onClick={() => void take('file')}>
          {text.savePicture}
        </button>
        <button type="button" className="button" onClick={() => void take('clipboard')}>
          {text.copyPicture}
        </button>
        <button type="button" className="button quiet" onClick={close}>
          {text.close}
        </button>
      </div>
    </Dialog>
  )
}
