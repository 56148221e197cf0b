import type { Warning } from '../failure.ts'
import type { Findings } from '../findings.ts'

/** A file's name and what stands in for it. */
export type NamedFile = readonly [name: string, stand: string]

/** Warnings in which what a file is stands in for its name. */
export const namelessWarnings = (warnings: readonly Warning[], files: readonly NamedFile[]): readonly Warning[] =>
  warnings.map((warning) => ({
    ...warning,
    // The longest first, so that no name is left of which another is a part.
    message: [...files]
      .sort(([a], [b]) => b.length - a.length)
      .reduce((text, [name, stand]) => (namesNobody(name) ? text : text.replaceAll(name, stand)), warning.message),
  }))

/** A file that is called after its bone, or not at all. */
const namesNobody = (name: string): boolean => /^((femur|tibia|fibula)(\.\w+)?)?$/i.test(name)

/** Findings as they leave the program: file names can name a person, so what each file is stands in for its name wherever it is said. */
export function withoutNames(findings: Findings): Findings {
  const { meshes, companions } = findings.run
  const files: readonly NamedFile[] = [
    ...meshes.map(({ name, bone }): NamedFile => [name, `the ${bone}’s file`]),
    ...companions.map(({ name, part }): NamedFile => [name, `the file of the ${part.replace('-', ' ')}`]),
  ]
  const landmarks = Object.fromEntries(
    Object.entries(findings.landmarks).map(([id, landmark]) => [
      id,
      landmark.from ? { ...landmark, from: { ...landmark.from, file: landmark.from.part } } : landmark,
    ]),
  )
  return {
    ...findings,
    run: {
      ...findings.run,
      meshes: meshes.map((mesh) => ({ ...mesh, name: mesh.bone })),
      companions: companions.map((companion) => ({ ...companion, name: companion.part })),
    },
    landmarks,
    warnings: namelessWarnings(findings.warnings, files),
  }
}
