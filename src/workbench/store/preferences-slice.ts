import { type CsvFormatName, csvFormats } from '../../report/csv-format.ts'
import { giveKeys, type OwnKeys, readOwnKeys, resetKeys } from '../commands/own-keys.ts'
import type { Slice } from './state.ts'

export const themeChoices = ['system', 'light', 'dark', 'contrast'] as const
export type ThemeChoice = (typeof themeChoices)[number]

export interface PreferencesSlice {
  readonly theme: ThemeChoice
  /** Big type for a lecture hall. */
  readonly present: boolean
  /** Keys in place of the usual ones. */
  readonly ownKeys: OwnKeys
  readonly csvFormat: CsvFormatName
  /** Case name, file names and notes go with what is taken along; asked for anew in every window. */
  readonly namesInExports: boolean
  chooseTheme(theme: ThemeChoice): void
  setPresent(present: boolean): void
  chooseCsvFormat(format: CsvFormatName): void
  /** Null gives a command its usual keys back. */
  chooseKeys(id: string, keys: readonly string[] | null): void
  resetAllKeys(): void
}

const themeKey = 'floorline.preferences'
const csvKey = 'floorline.csv'
const keysKey = 'floorline.keys'

export const createPreferencesSlice: Slice<PreferencesSlice> = (set, get) => ({
  theme: remembered(themeKey, themeChoices) ?? 'system',
  present: false,
  csvFormat: remembered(csvKey, Object.keys(csvFormats) as CsvFormatName[]) ?? usualCsv(),
  ownKeys: rememberedKeys(),
  namesInExports: false,
  chooseTheme: (theme) => {
    set({ theme })
    remember(themeKey, theme)
  },
  setPresent: (present) =>
    set(({ sectionShown, thicknessShown }) => ({
      present,
      sectionShown: sectionShown && !(present && thicknessShown),
    })),
  chooseCsvFormat: (csvFormat) => {
    set({ csvFormat })
    remember(csvKey, csvFormat)
  },
  chooseKeys: (id, keys) => {
    const ownKeys = keys ? giveKeys(get().ownKeys, id, keys) : resetKeys(get().ownKeys, id)
    set({ ownKeys })
    remember(keysKey, JSON.stringify(ownKeys))
  },
  resetAllKeys: () => {
    set({ ownKeys: {} })
    remember(keysKey, '{}')
  },
})

/** Where decimals are written with a comma, spreadsheets expect fields parted by semicolons. */
function usualCsv(): CsvFormatName {
  const language = globalThis.navigator?.language
  return language && new Intl.NumberFormat(language).format(0.5).includes(',') ? 'semicolon' : 'comma'
}

function remembered<T extends string>(key: string, choices: readonly T[]): T | null {
  try {
    const stored = globalThis.localStorage?.getItem(key)
    return choices.find((choice) => choice === stored) ?? null
  } catch {
    return null
  }
}

function rememberedKeys(): OwnKeys {
  try {
    return readOwnKeys(globalThis.localStorage?.getItem(keysKey) ?? '{}')
  } catch {
    return {}
  }
}

function remember(key: string, value: string): void {
  try {
    globalThis.localStorage?.setItem(key, value)
  } catch {
    // A window without storage forgets the choice when it closes; nothing else depends on it.
  }
}
