import { landmarksKey } from './landmarks-key.ts'
import type { Landmarks } from './terms.ts'

/** Whether the landmarks as they stand are those that the user signed off. */
export interface SignOff {
  readonly state: 'signed' | 'changed' | 'not'
  /** Of the landmarks as they stand: what a signature would name. */
  readonly key: string
}

/** Holds a signature (a `landmarksKey`; null: none) against the landmarks that the numbers rest on now. */
export function signOffOf(signed: string | null, landmarks: Landmarks): SignOff {
  const key = landmarksKey(landmarks)
  return { key, state: signed === null ? 'not' : signed === key ? 'signed' : 'changed' }
}

/** What a state of the signature is called. */
export const signOffWords: Readonly<Record<SignOff['state'], string>> = {
  signed: 'signed off as they stand',
  changed: 'changed since they were signed off',
  not: 'not signed off',
}
