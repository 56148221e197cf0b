/** The system's Chromium or a relative of it, or null. */
export function findChromium(): string | null
