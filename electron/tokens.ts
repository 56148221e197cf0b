import { randomBytes } from 'node:crypto'

/** Stands for a path in the window: 32 hexadecimal digits that say nothing about it. */
export type FileToken = string

/** Keeps which token stands for which path. A path keeps its token for as long as the program runs. */
export class Tokens {
  readonly #paths = new Map<FileToken, string>()
  readonly #tokens = new Map<string, FileToken>()

  tokenFor(path: string): FileToken {
    const known = this.#tokens.get(path)
    if (known) return known
    const token = randomBytes(16).toString('hex')
    this.#paths.set(token, path)
    this.#tokens.set(path, token)
    return token
  }

  /** Null for a token that was never handed out. */
  pathOf(token: FileToken): string | null {
    return this.#paths.get(token) ?? null
  }
}
