export function readPdf(bytes: Uint8Array): Promise<string[]>
