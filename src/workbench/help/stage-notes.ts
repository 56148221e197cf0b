import type { StageName } from '../text/messages.ts'

export interface StageNotes {
  readonly what: string
  readonly models: readonly string[]
}

/** What each stage does, what stands behind its numbers, and what it leaves out. */
export const stageNotes: Readonly<Record<StageName, StageNotes>> = {
  bones: {
    what: 'Each file is inspected before it is used: unit by size, bone and side by shape, surface by its edges. Problems are shown on the bone; a repair is a step that can be undone and is kept in the case. A scan that ends in the shaft takes hip and ankle from files of their own (a femoral head, a distal tibia, a fibula, in the frame of the knee’s file), or from slabs in one file; each is told by its shape, and what it is can be corrected.',
    models: [
      'Volume by the divergence theorem about a local origin. An open surface gives a volume with a bound, or none.',
      'Unit from published bone lengths (Strecker et al., J Orthop Trauma 1997;11:440).',
      'Head: the sphere about which most surface lies. Distal tibia: the malleolus on the rim opposite the cut. What lies at no leg’s distance from the knee is refused.',
      'A mirrored right bone is a left bone by shape: only a declared side can contradict it.',
    ],
  },
  landmarks: {
    what: 'Every landmark is proposed with how well it fits. A landmark is dragged over the bone, clicked, or typed as coordinates; a click can be drawn to a tip, a groove or an extreme. Planes, lines, circles, spheres and cylinders are fitted to picked points or painted patches and may become a cut, a reference line or a landmark. Every fit and reference line can be drawn on the bone: full in sight, faint behind bone; a plateau is drawn as the border of its patch on the bone, with the line of its slope in the fitted plane. Where conventions differ, the definition in use is a choice and stands with the findings. A set that was looked over is signed off; any later change of it voids the signature, and the report says which it is.',
    models: [
      'Bone frames after the International Society of Biomechanics: X anterior, Y proximal, Z to the subject’s right.',
      'Hip centre: least-squares sphere on the head, neck and fovea left out.',
      'Fits: least squares; outliers beyond a number of robust standard deviations are left out of a patch (Hampel, J Am Stat Assoc 1974;69:383), begun from the least median residual (Rousseeuw, J Am Stat Assoc 1984;79:871).',
      'Intervals: 2,000 seeded draws of what landmarks and surface err by; each angle opens its budget, its other definitions and the range of healthy adults. Slice thickness, lying pose, cartilage and spacing are not in them.',
      'Confidence: the chance that a landmark lies within twice its assumed scatter, from the surface about it; the reason is said when it is low. One set by hand or entered is held against where the surface shows it without the hand: beyond about twice its scatter it is less than sure, says how far it lies, and widens the intervals that rest on it.',
      'Extreme anatomy is flagged against limits of the case; the limits are common practice, without a source.',
      'Femur and tibia are told in one pose only where gaps, offsets, convergence of the joint lines and angles are plausible; the table stands under “Pose on the files”.',
      'Joint angles by the joint coordinate system (Grood and Suntay, J Biomech Eng 1983;105:136).',
      'Coronal type after MacDessi et al., Bone Joint J 2021;103-B:329.',
    ],
  },
  cuts: {
    what: 'A recipe places the cuts; any number may then be entered or pulled by its handle; the femoral component moves with all its cuts, and each of its cuts may be moved or turned alone. The face of a cut is shown beside the view with its component laid on it. Each place shows what is taken beside what is put back.',
    models: [
      'Taken = piece + kerf + wear, at every place. Cartilage is assumed unless the mesh carries it.',
      'The stored plane is the surface of the kept bone. Femoral cuts act on the distal block only.',
      'A femoral cut that leaves the component: pieces and places count what is sawn; limb, joint lines and slack count the component where it stands. Room and interference between both are told.',
      'What is out of range or cannot be planned is refused with its reason; the plan before it stays.',
      'Tolerance ±0.5 mm and all limits are common practice, without a source, and can be changed.',
      'Slack and gaps are geometric: native surfaces just touching, no ligament, no laxity.',
      'Components are a table that can be typed over, loaded and saved; what cannot be built is refused with the reason.',
      'If the saw is off: two angles and a depth of each cut, and the landmarks, err at random; the share of draws inside limits and tolerances.',
    ],
  },
  stance: {
    what: 'The bones are re-posed as the leg stands, not left as they were scanned. The tray’s angle to the floor is named by its plane.',
    models: [
      'Spacings are assumed until entered; measured only where one frame is declared for both files.',
      'Joint line to floor in young adults 0.3 ± 2.0° (Victor et al., Clin Orthop Relat Res 2014;472:98), for comparison.',
      'One leg: geometric, no trunk shift. Fixed flexion is not modelled.',
      'The other leg is the mirror image of this one, or measured on its own femur and tibia: its length tilts the pelvis, both hips give the spacing where one frame is declared.',
      'The level finder answers with an angle, both shear ratios and the spacing it assumed; it recommends nothing.',
    ],
  },
  loading: {
    what: 'Two directions of load are always shown: straight down, and along the tibia. The real one lies between.',
    models: [
      'Load sizes: mean peaks measured in five people (Kutzner et al., J Biomech 2010;43:2164).',
      'Bearing: elastic foundation solved on a grid for load and moment balance; half-space contact stands beside it.',
      'Interface: no-tension pressure on the resected outline, drawn under the tray; keel and pegs are left out.',
      'A sweep runs in several workers; interrupted, it goes on where it stopped when the same case is swept again.',
      'Load series: a table of forces over time, in tray axes; contact moment by moment, as table and chart.',
      'Muscles beyond the load’s size, ligaments and bone quality are not judged.',
    ],
  },
  report: {
    what: 'A rehearsal expectation: what each piece should measure. Not verified against the patient, not for guiding a cut.',
    models: [
      'Measured pieces recover depth and one tilt per cut; slope and flexion only from a front and a back reading.',
      'Planned against achieved: a mesh after the cuts is laid on the uncut surface by closest points; what is common and its residual are stated.',
      'Exports carry the caution, and no file name or note unless it was asked for.',
    ],
  },
}
