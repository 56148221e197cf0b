import type { BoneMesh } from '../geometry/bone.ts'
import { principalExtents } from '../geometry/extents.ts'
import { section } from '../geometry/section.ts'
import { addScaled, distance, dot, reject, scale, sub, type Vec3 } from '../geometry/vec.ts'
import { type CutFace, cutFace, shareOfSection } from './cut-face.ts'
import { findHead } from './find-head.ts'
import { slicesAlong } from './profile.ts'
import { reach } from './reach.ts'
import { shaftAxis } from './shaft-axis.ts'
import type { CompanionName } from './terms.ts'

export interface CompanionGuess {
  readonly part: CompanionName
  /** 0…1. */
  readonly confidence: number
}

/** What a companion file is called in a sentence. */
export const partWords: Readonly<Record<CompanionName, string>> = {
  'femoral-head': 'a femoral head',
  'distal-tibia': 'a distal tibia',
  fibula: 'a fibula',
}

/** Why a companion file is no knee's bone, and what to do with it. */
export const noKnee = ({ part }: CompanionGuess): string => `This is ${partWords[part]}, without the knee’s end.`
export const giveBeside = 'Give it beside the knee’s own file: it carries a joint centre.'

/**
 * Which companion file a surface that is no whole femur or tibia shows, by shape and extent (mm, patient frame): a femoral
 * head by its sphere, a distal tibia by its malleolus beside the joint surface, a fibula by its slenderness. Null when it
 * shows none of them. `surface` is the bone before its holes were bridged.
 */
export function recogniseCompanion(bone: BoneMesh, surface: BoneMesh): CompanionGuess | null {
  const head = findHead(bone.mesh)
  if (head !== null) return { part: 'femoral-head', confidence: Math.min(1, head.coverage / 0.5) }
  const slender = slenderness(bone)
  if (slender !== null) return slender
  const end = distalEnd(bone, surface)
  if (end === null) return null
  return end.votes > 0 ? { part: 'distal-tibia', confidence: Math.min(0.95, 0.55 + 0.2 * end.votes) } : null
}

/** What a fibula or its end measures, mm; ratio of length to width. Common practice, no source. */
const fibula = { leastMm: 38, widthMm: [12, 37], ratio: 1.35, wholeRatio: 7, wholeMm: 240 } as const

function slenderness({ mesh }: BoneMesh): CompanionGuess | null {
  const [long, wide] = principalExtents(mesh.positions)
  const [least, most] = fibula.widthMm
  if (!(long >= fibula.leastMm && wide >= least && wide <= most && long > fibula.ratio * wide)) return null
  const whole = long > fibula.wholeMm && long > fibula.wholeRatio * wide
  return { part: 'fibula', confidence: whole ? 0.9 : long > 2 * wide ? 0.7 : 0.5 }
}

/** The distal end of a tibia that is cut off above the ankle. */
export interface DistalEnd {
  readonly cut: CutFace
  /** Unit, towards the knee: the shaft's direction, or that of the cut where there is too little shaft. */
  readonly proximal: Vec3
  /** How clearly it is a distal end rather than a proximal one; positive is. */
  readonly votes: number
}

/**
 * Where the farthest tip stands tells the ends of a tibia apart: the malleolus stands on the rim (0.25 to 0.39 widths from the
 * middle on real bones, the spines at most 0.20), and widths themselves do (53…66 mm against 75…94). Both in votes.
 */
const between = { offset: 0.225, offsetVote: 0.1, widthMm: 70, widthVoteMm: 12 } as const

/** The end opposite the cut face of a part of a bone, judged as the distal end of a tibia; null without a cut face. */
export function distalEnd(bone: BoneMesh, surface: BoneMesh = bone): DistalEnd | null {
  const cut = cutFace(bone.mesh, surface)
  if (cut === null) return null
  const down = scale(cut.normal, -1)
  // Where a scan ends the bone behind it is as wide as its face; the flat of a patella is only its tip.
  if (!(shareOfSection(bone, cut, 1) > 0.5)) return null
  const depth = reach(bone.mesh, cut.point, down)
  const levels = Array.from({ length: 40 }, (_, i) => (depth * (i + 0.5)) / 40)
  const widthMm = 2.4 * Math.max(...slicesAlong(bone.mesh, cut.point, down, levels).map((s) => s.wideMm))
  if (!(widthMm > 40 && depth > 0.3 * widthMm)) return null
  const axis = shaftAxis(bone, cut.point, cut.normal, -0.32 * widthMm, -0.03 * widthMm)
  const straight = axis !== null && axis.rmsMm < 2 && dot(axis.direction, cut.normal) > 0.9
  const proximal = straight ? axis.direction : cut.normal
  const tip = reach(bone.mesh, cut.point, scale(proximal, -1))
  const middleAt = (share: number): Vec3 | null =>
    section(bone.tree, { point: addScaled(cut.point, proximal, share * widthMm - tip), normal: proximal }).centroid
  const [cap, body] = [middleAt(0.06), middleAt(0.3)]
  if (cap === null || body === null) return null
  const offset = distance([0, 0, 0], reject(sub(cap, body), proximal)) / widthMm
  const votes = (offset - between.offset) / between.offsetVote + (between.widthMm - widthMm) / between.widthVoteMm
  return { cut, proximal, votes }
}
