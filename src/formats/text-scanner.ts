/** What stood where a number was asked for. */
export type NumberKind = 'finite' | 'non-finite' | 'none'

/**
 * Walks text bytes token by token without copying them. Everything up to and including the space character separates
 * tokens (NUL padding too); LF, CRLF and CR end lines. Tokens are compared without regard to case.
 */
export class TextScanner {
  readonly bytes: Uint8Array
  readonly end: number
  at: number
  /** Line of `at`, from 1. */
  line: number
  tokenStart = 0
  tokenEnd = 0
  /** Set by `number()` when it says 'finite'. */
  value = 0

  constructor(bytes: Uint8Array, at = 0, line = 1, end = bytes.length) {
    this.bytes = bytes
    this.at = at
    this.line = line
    this.end = end
  }

  /** Moves to the next token on any line; false at the end. */
  next(): boolean {
    const { bytes, end } = this
    let at = this.at
    while (at < end) {
      const c = bytes[at]!
      if (c > 32) break
      if (c === 10 || (c === 13 && bytes[at + 1] !== 10)) this.line++
      at++
    }
    return this.take(at)
  }

  /** Moves to the next token of this line; false, and nothing consumed but spaces, at the line's end. */
  nextOnLine(): boolean {
    const { bytes, end } = this
    let at = this.at
    while (at < end) {
      const c = bytes[at]!
      if (c > 32) break
      if (c === 10 || c === 13) {
        this.at = at
        return false
      }
      at++
    }
    return this.take(at)
  }

  private take(start: number): boolean {
    const { bytes, end } = this
    let at = start
    while (at < end && bytes[at]! > 32) at++
    this.tokenStart = start
    this.tokenEnd = at
    this.at = at
    return at > start
  }

  skipLine(): void {
    const { bytes, end } = this
    let at = this.at
    while (at < end && bytes[at] !== 10 && bytes[at] !== 13) at++
    this.at = at
  }

  /** The rest of this line, trimmed, without its line break. Long lines are cut at 200 characters. */
  restOfLine(): string {
    const { bytes, end } = this
    let at = this.at
    while (at < end && bytes[at] !== 10 && bytes[at] !== 13) at++
    const text = decodeText(bytes.subarray(this.at, Math.min(at, this.at + 200)))
    this.at = at
    return text
  }

  /** Whether the token is this lower-case word, in any case. */
  is(word: string): boolean {
    const { bytes, tokenStart } = this
    if (this.tokenEnd - tokenStart !== word.length) return false
    for (let i = 0; i < word.length; i++) {
      const c = bytes[tokenStart + i]!
      if ((c >= 65 && c <= 90 ? c + 32 : c) !== word.charCodeAt(i)) return false
    }
    return true
  }

  /** The token as text for a message, at most 40 characters. */
  text(): string {
    return decodeText(this.bytes.subarray(this.tokenStart, Math.min(this.tokenEnd, this.tokenStart + 40)))
  }

  /** Reads the token as a decimal number, correctly rounded, into `value`. */
  number(): NumberKind {
    const { bytes, tokenEnd } = this
    let at = this.tokenStart
    let c = bytes[at]!
    const negative = c === 45
    if (negative || c === 43) c = bytes[++at]!
    let mantissa = 0
    let digits = 0
    let exponent = 0
    const numberStart = at
    let point = -1
    for (; at < tokenEnd; at++) {
      c = bytes[at]!
      if (c >= 48 && c <= 57) {
        if (mantissa > 0 || c > 48) digits++
        if (digits > 15) return this.oddNumber()
        mantissa = mantissa * 10 + (c - 48)
        if (point >= 0) exponent--
      } else if (c === 46 && point < 0) point = at
      else break
    }
    if (at - numberStart - (point < 0 ? 0 : 1) === 0) return this.oddNumber()
    if (at < tokenEnd) {
      if ((c | 32) !== 101) return this.oddNumber()
      at++
      const minus = bytes[at] === 45
      if (at < tokenEnd && (minus || bytes[at] === 43)) at++
      const powerStart = at
      let power = 0
      for (; at < tokenEnd; at++) {
        c = bytes[at]!
        if (c < 48 || c > 57) return this.oddNumber()
        power = Math.min(power * 10 + (c - 48), 9999)
      }
      if (at === powerStart) return this.oddNumber()
      exponent += minus ? -power : power
    }
    // Up to 15 digits and a power of ten up to 22 are both exact doubles, so one operation rounds correctly.
    if (exponent > 22 || exponent < -22) return this.oddNumber()
    const size = exponent < 0 ? mantissa / POWERS[-exponent]! : mantissa * POWERS[exponent]!
    this.value = negative ? -size : size
    return 'finite'
  }

  /** Long numbers, Fortran exponents, and the many spellings of not-a-number and infinity. */
  private oddNumber(): NumberKind {
    if (this.tokenEnd - this.tokenStart > 1000) return 'none'
    const text = decodeText(this.bytes.subarray(this.tokenStart, this.tokenEnd)).toLowerCase()
    if (/^[+-]?(\d+\.?\d*|\.\d+)([ed][+-]?\d+)?$/.test(text)) {
      const value = Number(text.replace('d', 'e'))
      if (!Number.isFinite(value)) return 'non-finite'
      this.value = value
      return 'finite'
    }
    return /^[+-]?(s?q?nan(\(.*\))?|inf(inity)?|\d+\.#[a-z]+\d*)$/.test(text) ? 'non-finite' : 'none'
  }
}

const POWERS = Array.from({ length: 23 }, (_, i) => Number(`1e${i}`))

/** Bytes as printable text: control characters and bytes that are no UTF-8 are replaced, ends trimmed. */
export function decodeText(bytes: Uint8Array): string {
  return Array.from(decoder.decode(bytes), (c) => (c < ' ' || c === '\x7f' ? ' ' : c))
    .join('')
    .trim()
}

const decoder = new TextDecoder('utf-8')
