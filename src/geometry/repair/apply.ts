import type { Mesh } from '../mesh.ts'
import { capPlane } from './cap-plane.ts'
import { dropDuplicates } from './drop-duplicates.ts'
import { dropFins } from './drop-fins.ts'
import { dropIslands } from './drop-islands.ts'
import { fillHoles } from './fill-holes.ts'
import { keepPiece } from './keep-piece.ts'
import { mendDegenerate } from './mend-degenerate.ts'
import { orient } from './orient.ts'
import { splitEdges } from './split-edges.ts'
import type { RepairStep } from './step.ts'
import { weldBoundary } from './weld-boundary.ts'

/** The welded mesh (mm) after one repair; itself where there is nothing to repair. */
export function applyRepair(mesh: Mesh, step: RepairStep): Mesh {
  switch (step.kind) {
    case 'weld':
      return weldBoundary(mesh, step.toleranceMm)
    case 'drop-duplicates':
      return dropDuplicates(mesh)
    case 'drop-fins':
      return dropFins(mesh, step.belowAreaFraction)
    case 'mend-degenerate':
      return mendDegenerate(mesh)
    case 'orient':
      return orient(mesh)
    case 'drop-islands':
      return dropIslands(mesh, step.belowAreaFraction)
    case 'keep-piece':
      return keepPiece(mesh, step.rank)
    case 'fill-holes':
      return fillHoles(mesh, step.minLengthMm, step.maxLengthMm)
    case 'cap-plane':
      return capPlane(mesh, step, step.toleranceMm)
    case 'split-edges':
      return splitEdges(mesh)
  }
}

/** The welded mesh (mm) after recorded repairs, in their order: the same steps always give the same mesh. */
export const applyRepairs = (mesh: Mesh, steps: readonly RepairStep[]): Mesh => steps.reduce(applyRepair, mesh)
