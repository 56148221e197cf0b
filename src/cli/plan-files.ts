import type { BoneName, LandmarkId, LandmarkOverride } from '../anatomy/terms.ts'
import { type Assessed, assessFully } from '../assess.ts'
import { companionsOf } from '../casefile/companions.ts'
import { writeContainer } from '../casefile/container.ts'
import type { CaseDocument, MeshReference } from '../casefile/document.ts'
import { sha256 } from '../casefile/hash.ts'
import { ok, type Result } from '../failure.ts'
import { readMesh } from '../formats/read.ts'
import { writePly } from '../formats/write-ply.ts'
import { writeStl } from '../formats/write-stl.ts'
import { printable } from '../geometry/printable.ts'
import { pieces } from '../planning/pieces.ts'
import { sitesCsv } from '../report/csv.ts'
import { findingsJson, jsonText } from '../report/findings-json.ts'
import { reportHtml } from '../report/html.ts'
import { type NamedFile, namelessWarnings } from '../report/without-names.ts'
import { type StanceDrawing, stanceDrawing } from '../stance/drawing.ts'
import { compareRecipes } from '../studies/compare-recipes.ts'
import type { OpenedCase } from './case-source.ts'

/**
 * Every file of `plan --out`: case, findings, report, sites, kept bones and removed pieces. File names, comments and
 * notes can identify a person, so meshes are written anew without comments and names stand for bones.
 */
export async function planFiles(opened: OpenedCase): Promise<Result<ReadonlyMap<string, Uint8Array | string>>> {
  const stripped = await withoutIdentity(opened)
  const warnings = namelessWarnings(opened.warnings, namesIn(opened.document))
  const assessed = assessFully(stripped.document, opened.bones, warnings, 'full')
  if (!assessed.ok) return assessed
  const container = await writeContainer({ document: stripped.document, meshes: stripped.meshes })
  if (!container.ok) return container
  const solids = pieces(assessed.value.plan, { femur: opened.bones.femur, tibia: opened.bones.tibia })
  if (!solids.ok) return solids
  const { findings } = assessed.value
  const alternatives = compareRecipes(stripped.document, opened.bones, warnings, { asRecipesSay: true })
  const files = new Map<string, Uint8Array | string>([
    ['case.floorline', container.value],
    ['findings.json', jsonText(findingsJson(findings))],
    [
      'report.html',
      reportHtml({
        findings,
        drawing: drawingOf(assessed.value, opened),
        caseName: stripped.document.name,
        alternatives,
        pose: stripped.document.stance.pose,
        notes: '',
      }),
    ],
    ['sites.csv', sitesCsv(findings)],
  ])
  for (const piece of solids.value) files.set(`${piece.id}.stl`, writeStl(printable(piece.mesh)))
  return ok(files)
}

/** The names of the case's files, and what stands in for each. */
const namesIn = (document: CaseDocument): readonly NamedFile[] => [
  ...(['femur', 'tibia'] as const).map((bone): NamedFile => [document.meshes[bone]?.name ?? '', `the ${bone}’s file`]),
  ...companionsOf(document).map(
    ({ part, file }): NamedFile => [file.name, `the file of the ${part.replace('-', ' ')}`],
  ),
]

/** The frontal drawing of the pose the case shows; null where no pose could be stood. */
export function drawingOf(
  { findings, anatomy, plan }: Assessed,
  { document, bones, otherBones }: OpenedCase,
): StanceDrawing | null {
  const standing = findings.stance.find((pose) => pose.pose === document.stance.pose) ?? findings.stance[0]
  if (!standing) return null
  return stanceDrawing({
    standing,
    side: anatomy.side,
    femur: anatomy.femur,
    tibia: anatomy.tibia,
    femurMesh: bones.femur.mesh,
    tibiaMesh: bones.tibia.mesh,
    tray: plan.tray,
    other: otherBones,
  })
}

async function withoutIdentity({ document, fileMeshes, meshes: given }: OpenedCase): Promise<{
  readonly document: CaseDocument
  readonly meshes: ReadonlyMap<string, Uint8Array>
}> {
  const meshes = new Map<string, Uint8Array>()
  const anew = async (bone: BoneName, reference: MeshReference | null): Promise<MeshReference | null> => {
    if (!reference) return null
    const bytes = writePly(fileMeshes[bone], { precision: 'double' })
    const hash = await sha256(bytes)
    meshes.set(hash, bytes)
    return { sha256: hash, name: `${bone}.ply`, unitFactor: reference.unitFactor, repairs: reference.repairs }
  }
  const femur = await anew('femur', document.meshes.femur)
  const tibia = await anew('tibia', document.meshes.tibia)
  const landmarks: Partial<Record<LandmarkId, LandmarkOverride>> = { ...document.landmarks }
  for (const [id, override] of Object.entries(document.landmarks) as [LandmarkId, LandmarkOverride][]) {
    const { from } = override
    const bytes = from && given.get(from.file.sha256)
    const read = bytes && readMesh(bytes, from.file.name)
    if (!read?.ok) continue
    const written = writePly(read.value.mesh, { precision: 'double' })
    const hash = await sha256(written)
    meshes.set(hash, written)
    landmarks[id] = {
      ...override,
      from: { ...from!, file: { ...from!.file, sha256: hash, name: `${from!.part}.ply` } },
    }
  }
  return { document: { ...document, name: 'Knee', notes: '', meshes: { femur, tibia }, landmarks }, meshes }
}
