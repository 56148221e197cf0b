import type { Slice } from './state.ts'

export type ThemeChoice = 'system' | 'light' | 'dark'

export interface PreferencesSlice {
  readonly theme: ThemeChoice
  /** Big type for a lecture hall. */
  readonly present: boolean
  chooseTheme(theme: ThemeChoice): void
  setPresent(present: boolean): void
}

const key = 'floorline.preferences'

export const createPreferencesSlice: Slice<PreferencesSlice> = (set, get) => ({
  theme: remembered(),
  present: false,
  chooseTheme: (theme) => {
    set({ theme })
    remember(get().theme)
  },
  setPresent: (present) => set({ present }),
})

function remembered(): ThemeChoice {
  try {
    const stored = globalThis.localStorage?.getItem(key)
    return stored === 'light' || stored === 'dark' ? stored : 'system'
  } catch {
    return 'system'
  }
}

function remember(theme: ThemeChoice): void {
  try {
    globalThis.localStorage?.setItem(key, theme)
  } catch {
    // A window without storage forgets the choice when it closes; nothing else depends on it.
  }
}
