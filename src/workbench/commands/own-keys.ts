/** Keys chosen in place of a command's usual ones, by the command's id; an empty list leaves it without keys. */
export type OwnKeys = Readonly<Record<string, readonly string[]>>

/** The keys a command answers to now: its own ones, else its usual ones less what was given to another command. */
export function keysOf(
  command: { readonly id: string; readonly keys?: readonly string[] },
  own: OwnKeys,
): readonly string[] {
  const chosen = own[command.id]
  if (chosen) return chosen
  const given = new Set(Object.values(own).flat())
  return (command.keys ?? []).filter((keys) => !given.has(keys))
}

/** Gives keys to a command. Whoever had chosen them before loses them; who has them by custom gets them back on reset. */
export function giveKeys(own: OwnKeys, id: string, keys: readonly string[]): OwnKeys {
  const others = Object.entries(own)
    .filter(([other]) => other !== id)
    .map(([other, had]) => [other, had.filter((one) => !keys.includes(one))] as const)
  return { ...Object.fromEntries(others), [id]: keys }
}

/** A command goes back to its usual keys. */
export function resetKeys(own: OwnKeys, id: string): OwnKeys {
  return Object.fromEntries(Object.entries(own).filter(([other]) => other !== id))
}

/** Keys as they were stored, or none where what is stored is no list of keys. */
export function readOwnKeys(stored: string): OwnKeys {
  const read: unknown = JSON.parse(stored)
  if (typeof read !== 'object' || read === null) return {}
  return Object.fromEntries(
    Object.entries(read).filter(
      (entry): entry is [string, string[]] =>
        Array.isArray(entry[1]) && entry[1].every((keys) => typeof keys === 'string' && keys.length <= 40),
    ),
  )
}
