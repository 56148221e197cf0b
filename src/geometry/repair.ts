export { applyRepair, applyRepairs } from './repair/apply.ts'
export { keepPiece, piecesByArea } from './repair/keep-piece.ts'
export {
  MOST_PLACES,
  previewRepair,
  proposeRepairs,
  type RepairPreview,
  type RepairProposal,
  SMALL_HOLE_MM,
} from './repair/propose.ts'
export type { RepairStep } from './repair/step.ts'
