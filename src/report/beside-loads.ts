/** Something measured elsewhere that a number of the loading stands beside: a reference, never a verdict. */
export interface BesideLoads {
  readonly what: string
  readonly value: string
  readonly source: string
}

/** Strength of cancellous bone below the tibial plateau, MPa: ultimate, and where most of it lies. From memory, not verified. */
export const boneStrengthMpa = { lowest: 2, highest: 13, typical: [3, 8] } as const

/** What was measured in people and on bone, for window, report and command line. */
export const besideLoads: readonly BesideLoads[] = [
  {
    what: 'load in people',
    value:
      'mean peaks, % of body weight: two legs 107, one leg 259, walking 261, stairs up 316, stairs down 346, knee bend 253, standing up 246, sitting down 225',
    source: 'Kutzner et al., J Biomech 2010;43:2164, five people',
  },
  {
    what: 'shear in people',
    value: '10 to 20 times smaller than compression: a ratio of 0.05 to 0.10',
    source: 'Kutzner et al., J Biomech 2010;43:2164, five people',
  },
  {
    what: 'medial share in people',
    value:
      'typically 60 to 80 %, up to 88 % in varus; it follows alignment on one leg (R² 0.88), less in motion (0.59)',
    source: 'Kutzner et al., Bone Joint J 2017;99-B:779, nine people; range as quoted in PMC2965044',
  },
  {
    what: 'friction under the tray',
    value:
      'keel, pegs and cement left out, the tray would slip where the shear ratio is above its coefficient of friction; bone on rough metal about 0.4 to 1',
    source: 'statics; coefficient from memory, not verified',
  },
  {
    what: 'bone under the tray',
    value: `gives way at about ${boneStrengthMpa.lowest} to ${boneStrengthMpa.highest} MPa, mostly ${boneStrengthMpa.typical.join(' to ')}; medially 1.7 to 1.9 times stronger; up to 100 times from place to place; weaker within 5 mm below the surface`,
    source:
      'strength from memory; Hvid et al., Int Orthop 1986;10:271; Goldstein et al. 1983; Harada et al., J Arthroplasty 1988;3:167. Bands to compare with, no pass line',
  },
]
