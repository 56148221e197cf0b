import { isAbsolute, resolve } from 'node:path'

/**
 * The files among a start's arguments, as absolute paths. Switches are no files; nor is what comes before them in an
 * unpackaged run: the program and its folder. Relative names are taken from `folder`, where the start was made.
 */
export function filesAmong(argv: readonly string[], packaged: boolean, folder: string): string[] {
  return argv
    .slice(1)
    .filter((argument) => argument !== '' && !argument.startsWith('-'))
    .slice(packaged ? 0 : 1)
    .map((argument) => (isAbsolute(argument) ? argument : resolve(folder, argument)))
}
