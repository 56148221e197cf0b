import { Eraser, MousePointer2, PenLine } from 'lucide-react'
import { type Command, needsBone } from './command.ts'

const marking = (marker: 'pointer' | 'pen', label: string, icon: Command['icon'], key: string): Command => ({
  id: `lesson.${marker}`,
  label,
  group: 'Lessons',
  ...(icon ? { icon } : {}),
  keys: [key],
  enabled: needsBone,
  checked: (state) => state.marker === marker,
  run: ({ store }) => store.getState().setMarker(store.getState().marker === marker ? 'off' : marker),
})

/** Showing a place on the view, and drawing over it. */
export const markers: readonly Command[] = [
  marking('pointer', 'Pointer', MousePointer2, 'j'),
  marking('pen', 'Draw over the view', PenLine, 'g'),
  {
    id: 'lesson.clear',
    label: 'Clear the drawing',
    group: 'Lessons',
    icon: Eraser,
    keys: ['shift+g'],
    enabled: (state) => (state.strokes.length > 0 ? true : 'Nothing is drawn.'),
    run: ({ store }) => store.getState().clearStrokes(),
  },
]
