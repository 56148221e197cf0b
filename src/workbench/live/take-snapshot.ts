import { fail } from '../../failure.ts'
import { withText } from '../../report/png-text.ts'
import type { PictureOptions } from '../store/viewport-slice.ts'
import { caution } from '../text/messages.ts'
import type { Workbench } from '../workbench.ts'

/** Draws the view once more as asked and saves it as a PNG that carries the caution, or puts it on the clipboard. */
export async function takeSnapshot(
  { store, host }: Workbench,
  options: PictureOptions,
  to: 'file' | 'clipboard',
): Promise<boolean> {
  const draw = store.getState().drawPicture
  const picture = draw ? await draw(options) : null
  if (!picture) {
    store.getState().notify(fail('file/unreadable', 'There is no picture of the view to save.').failure)
    return false
  }
  const png = withText(new Uint8Array(await picture.arrayBuffer()), 'Comment', caution)
  const done =
    to === 'clipboard' ? await host.copyPicture(png) : await host.save('floorline-view.png', png, 'image/png')
  if (!done.ok) store.getState().notify(done.failure)
  return done.ok
}
