import { Bookmark, Columns2, Hand, Redo, Rotate3d, SquareDashed, Undo } from 'lucide-react'
import { type Command, needsBone, needsPlan } from './command.ts'

/** How one looks: the camera's own back and forward, what stands beside the view, how it is turned. */
export const sightCommands: readonly Command[] = [
  {
    id: 'view.back',
    label: 'Camera back',
    group: 'View',
    icon: Undo,
    keys: ['['],
    enabled: (state) => (state.cameraSteps.back > 0 ? true : 'The camera has not been moved here.'),
    run: ({ store }) => store.getState().moveCamera({ kind: 'back' }),
  },
  {
    id: 'view.forward',
    label: 'Camera forward',
    group: 'View',
    icon: Redo,
    keys: [']'],
    enabled: (state) => (state.cameraSteps.forward > 0 ? true : 'The camera has not been taken back.'),
    run: ({ store }) => store.getState().moveCamera({ kind: 'forward' }),
  },
  {
    id: 'view.split',
    label: 'Before and after, side by side',
    group: 'View',
    icon: Columns2,
    keys: ['b'],
    enabled: needsPlan,
    checked: (state) => state.split,
    run: ({ store }) => {
      const state = store.getState()
      // Only these stages show a plan to be compared with.
      if (!state.split && !['cuts', 'stance', 'loading'].includes(state.stage)) state.showStage('cuts')
      state.setSplit(!state.split)
    },
  },
  {
    id: 'view.section',
    label: 'Face of the active cut',
    group: 'View',
    icon: SquareDashed,
    keys: ['u'],
    enabled: needsPlan,
    checked: (state) => state.sectionShown && state.stage === 'cuts',
    run: ({ store }) => {
      const state = store.getState()
      const shown = state.sectionShown && state.stage === 'cuts'
      if (!shown) state.showStage('cuts')
      state.setSectionShown(!shown)
    },
  },
  {
    id: 'view.saved',
    label: 'Saved views…',
    group: 'View',
    icon: Bookmark,
    keys: ['v'],
    enabled: needsBone,
    run: ({ store }) => store.getState().showViews(true),
  },
  {
    id: 'view.trackball',
    label: 'Turn freely, as a trackball',
    group: 'View',
    icon: Rotate3d,
    keys: ['r'],
    enabled: needsBone,
    checked: (state) => state.rotation === 'trackball',
    run: ({ store }) => {
      const state = store.getState()
      state.setRotation(state.rotation === 'trackball' ? 'turntable' : 'trackball')
    },
  },
  {
    id: 'view.wheel',
    label: 'Two fingers move the view; a pinch brings it nearer',
    group: 'View',
    icon: Hand,
    checked: (state) => state.wheel === 'pan',
    run: ({ store }) => {
      const state = store.getState()
      state.setWheel(state.wheel === 'pan' ? 'zoom' : 'pan')
    },
  },
]
