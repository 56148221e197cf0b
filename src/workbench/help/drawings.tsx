import type { ReactNode } from 'react'

export type DrawingName =
  | 'limb'
  | 'ldfa'
  | 'mpta'
  | 'joint-lines'
  | 'slope'
  | 'stack'
  | 'level'
  | 'shear'
  | 'edge'
  | 'rotation'
  | 'pieces'
  | 'limits'
  | 'share'
  | 'press'
  | 'head'
  | 'spread'
  | 'hka'
  | 'varus'
  | 'convergence'
  | 'obliquity'
  | 'anteversion'
  | 'torsion'
  | 'taken'
  | 'put-back'
  | 'kerf'
  | 'tray'
  | 'insert'
  | 'plumb'
  | 'two-loads'
  | 'tilted-cut'
  | 'slack'
  | 'wear'
  | 'residual'
  | 'overhang'

const femur = <path className="draw-bone" d="M30 4 L27 46 Q20 50 22 56 Q30 60 38 56 Q40 50 34 46 Z" />
const tibia = <path className="draw-bone" d="M22 62 Q30 60 38 62 L35 74 L33 104 L28 104 L26 74 Z" />

/** A leg in varus: the knee stands outward of the line from hip to ankle. */
const bentFemur = <path className="draw-bone" d="M35 4 L22 44 Q14 50 17 55 Q25 60 33 54 Q34 48 29 44 L39 6 Z" />
const bentTibia = <path className="draw-bone" d="M16 60 Q25 58 33 60 L32 70 L39 104 H34 L23 74 Z" />

const drawings: Readonly<Record<DrawingName, ReactNode>> = {
  limb: (
    <>
      {femur}
      {tibia}
      <path className="draw-axis" d="M31 4 L30 59 L30 104" />
    </>
  ),
  ldfa: (
    <>
      {femur}
      <path className="draw-axis" d="M31 4 L30 58" />
      <path className="draw-line" d="M12 59 L48 56" />
      <path className="draw-arc" d="M30 46 A12 12 0 0 0 18 58" />
    </>
  ),
  mpta: (
    <>
      {tibia}
      <path className="draw-axis" d="M30 60 L31 104" />
      <path className="draw-line" d="M12 60 L48 63" />
      <path className="draw-arc" d="M30 74 A12 12 0 0 0 42 63" />
    </>
  ),
  'joint-lines': (
    <>
      {femur}
      {tibia}
      <path className="draw-line" d="M10 58 L50 55" />
      <path className="draw-line" d="M10 60 L50 64" />
    </>
  ),
  slope: (
    <>
      <path className="draw-bone" d="M18 34 Q32 26 46 40 L40 62 L37 104 L26 104 L24 62 Z" />
      <path className="draw-axis" d="M31 30 L31 104" />
      <path className="draw-line" d="M8 27 L54 43" />
    </>
  ),
  stack: (
    <>
      <path className="draw-taken" d="M12 30 h14 v58 h-14 Z" />
      <path className="draw-kerf" d="M12 88 h14 v8 h-14 Z" />
      <path className="draw-back" d="M34 30 h14 v66 h-14 Z" />
      <path className="draw-floor" d="M6 96 H54" />
    </>
  ),
  level: (
    <>
      <path className="draw-plumb" d="M30 6 V96" />
      <path className="draw-vial" d="M8 46 Q4 51 8 56 L50 64 Q56 60 52 54 Z" />
      <circle className="draw-bubble" cx="24" cy="54" r="4" />
      <path className="draw-floor" d="M2 98 H58" />
    </>
  ),
  shear: (
    <>
      <path className="draw-vial" d="M6 66 L54 78 L53 84 L5 72 Z" />
      <path className="draw-taken-line" d="M30 10 V70" />
      <path className="draw-line" d="M30 70 L46 74" />
      <path className="draw-axis" d="M30 70 L36 40" />
    </>
  ),
  edge: (
    <>
      <path className="draw-back" d="M6 66 H54 V80 H6 Z" />
      <circle className="draw-ring" cx="44" cy="48" r="18" />
      <circle className="draw-bubble" cx="46" cy="66" r="4" />
    </>
  ),
  rotation: (
    <>
      <path
        className="draw-bone"
        d="M8 60 Q6 44 20 42 Q30 34 40 42 Q54 44 52 60 Q46 72 36 64 Q30 58 24 64 Q14 72 8 60 Z"
      />
      <path className="draw-line" d="M6 70 L54 70" />
      <path className="draw-axis" d="M5 56 L55 48" />
    </>
  ),
  pieces: (
    <>
      <path className="draw-bone" d="M12 48 H48 L44 104 H16 Z" />
      <path className="draw-taken" d="M12 24 Q30 14 48 24 L48 36 H12 Z" />
      <path className="draw-line" d="M6 48 H54" />
    </>
  ),
  limits: (
    <>
      <path className="draw-floor" d="M6 60 H54" />
      <path className="draw-line" d="M16 48 V72" />
      <path className="draw-line" d="M44 48 V72" />
      <circle className="draw-bubble" cx="36" cy="60" r="4" />
    </>
  ),
  share: (
    <>
      <path className="draw-back" d="M6 64 H54 V72 H6 Z" />
      <path className="draw-plumb" d="M24 8 V64" />
      <path className="draw-taken" d="M12 36 h8 v28 h-8 Z" />
      <path className="draw-taken" d="M40 50 h8 v14 h-8 Z" />
    </>
  ),
  press: (
    <>
      <path className="draw-back" d="M6 44 H54 V52 H6 Z" />
      <path className="draw-taken" d="M6 54 L54 54 L54 58 L6 86 Z" />
      <path className="draw-plumb" d="M22 8 V44" />
    </>
  ),
  head: (
    <>
      <path className="draw-bone" d="M26 40 L24 104 H38 L36 46 Z" />
      <circle className="draw-ring" cx="24" cy="28" r="14" />
      <circle className="draw-bubble" cx="24" cy="28" r="3" />
    </>
  ),
  spread: (
    <>
      <path className="draw-floor" d="M4 84 H56" />
      <path className="draw-line" d="M6 84 Q22 82 26 50 Q30 18 34 50 Q38 82 54 84" />
      <path className="draw-plumb" d="M18 60 V92" />
      <path className="draw-plumb" d="M42 60 V92" />
    </>
  ),
  hka: (
    <>
      {bentFemur}
      {bentTibia}
      <path className="draw-axis" d="M36 4 L24 56 L36 104" />
      <path className="draw-arc" d="M27 42 A14 14 0 0 1 27 70" />
    </>
  ),
  varus: (
    <>
      {bentFemur}
      {bentTibia}
      <path className="draw-plumb" d="M36 4 V104" />
      <path className="draw-line" d="M34 56 H25" />
    </>
  ),
  convergence: (
    <>
      {femur}
      {tibia}
      <path className="draw-line" d="M8 56 L52 52" />
      <path className="draw-line" d="M8 59 L52 68" />
      <path className="draw-arc" d="M46 53 A16 16 0 0 1 46 66" />
    </>
  ),
  obliquity: (
    <>
      {femur}
      {tibia}
      <path className="draw-line" d="M6 52 L54 64" />
      <path className="draw-plumb" d="M6 58 H54" />
    </>
  ),
  anteversion: (
    <>
      <circle className="draw-bone" cx="44" cy="34" r="10" />
      <path className="draw-bone" d="M16 56 L38 32 L46 40 L24 64 Z" />
      <path
        className="draw-bone"
        d="M8 88 Q10 76 22 78 Q30 74 38 78 Q50 76 52 88 Q44 96 36 90 Q30 86 24 90 Q16 96 8 88 Z"
      />
      <path className="draw-axis" d="M12 66 L52 24" />
      <path className="draw-line" d="M6 95 H54" />
    </>
  ),
  torsion: (
    <>
      <path
        className="draw-bone"
        d="M8 34 Q8 20 24 22 Q30 26 36 22 Q52 20 52 34 Q50 44 38 42 Q30 38 22 42 Q10 44 8 34 Z"
      />
      <path className="draw-bone" d="M14 78 Q20 66 34 72 Q46 76 46 86 Q40 96 28 92 Q14 90 14 78 Z" />
      <path className="draw-line" d="M4 32 H56" />
      <path className="draw-axis" d="M8 74 L54 92" />
    </>
  ),
  taken: (
    <>
      <path className="draw-taken" d="M12 30 h14 v58 h-14 Z" />
      <path className="draw-kerf" d="M12 88 h14 v8 h-14 Z" />
      <path className="draw-axis" d="M34 96 V30 H48 V96" />
      <path className="draw-floor" d="M6 96 H54" />
    </>
  ),
  'put-back': (
    <>
      <path className="draw-axis" d="M12 96 V30 H26 V96" />
      <path className="draw-back" d="M34 30 h14 v66 h-14 Z" />
      <path className="draw-floor" d="M6 96 H54" />
    </>
  ),
  kerf: (
    <>
      <path className="draw-bone" d="M12 56 H48 L44 104 H16 Z" />
      <path className="draw-bone" d="M12 30 Q30 20 48 30 L48 48 H12 Z" />
      <path className="draw-kerf" d="M2 49 H58 V55 H2 Z" />
    </>
  ),
  tray: (
    <>
      <path className="draw-bone" d="M12 58 H48 L42 104 H18 Z" />
      <path className="draw-back" d="M8 50 H52 V57 H33 V84 H27 V57 H8 Z" />
    </>
  ),
  insert: (
    <>
      <path className="draw-back" d="M8 62 H52 V69 H33 V92 H27 V69 H8 Z" />
      <path className="draw-vial" d="M8 46 Q18 58 30 50 Q42 58 52 46 V61 H8 Z" />
    </>
  ),
  plumb: (
    <>
      {bentFemur}
      {bentTibia}
      <circle className="draw-bubble" cx="36" cy="8" r="3" />
      <path className="draw-plumb" d="M36 8 V104" />
      <path className="draw-floor" d="M6 105 H54" />
    </>
  ),
  'two-loads': (
    <>
      <path className="draw-bone" d="M16 62 L46 66 L36 104 H28 Z" />
      <path className="draw-taken-line" d="M31 12 V60" />
      <path className="draw-line" d="M44 14 L32 60" />
    </>
  ),
  'tilted-cut': (
    <>
      {tibia}
      <path className="draw-axis" d="M30 50 V104" />
      <path className="draw-plumb" d="M10 70 H50" />
      <path className="draw-line" d="M10 66 L50 74" />
    </>
  ),
  slack: (
    <>
      <path className="draw-bone" d="M22 8 L20 40 Q30 44 40 40 L38 8 Z" />
      <path className="draw-back" d="M18 42 Q30 48 42 42 V50 Q30 56 18 50 Z" />
      <path className="draw-back" d="M16 68 H44 V78 H16 Z" />
      <path className="draw-bone" d="M18 80 H42 L38 106 H22 Z" />
      <path className="draw-line" d="M30 55 V67" />
    </>
  ),
  wear: (
    <>
      <path className="draw-bone" d="M10 52 Q20 40 30 50 Q40 40 50 46 L44 104 H18 Z" />
      <path className="draw-axis" d="M10 44 Q20 34 30 45" />
    </>
  ),
  residual: (
    <>
      <circle className="draw-ring" cx="30" cy="54" r="20" />
      <circle className="draw-bubble" cx="30" cy="32" r="2.5" />
      <circle className="draw-bubble" cx="52" cy="58" r="2.5" />
      <circle className="draw-bubble" cx="18" cy="72" r="2.5" />
      <circle className="draw-bubble" cx="11" cy="46" r="2.5" />
    </>
  ),
  overhang: (
    <>
      <path
        className="draw-bone"
        d="M6 60 Q6 44 20 44 Q30 50 40 44 Q50 44 50 60 Q48 74 36 72 Q30 66 24 72 Q8 74 6 60 Z"
      />
      <path
        className="draw-axis"
        d="M10 60 Q10 46 22 47 Q30 52 42 47 Q57 47 57 60 Q56 72 42 70 Q32 66 24 69 Q10 70 10 60 Z"
      />
      <path className="draw-line" d="M50 60 H57" />
    </>
  ),
}

/** A small drawing for a word; the words say the same. */
export const Drawing = ({ name }: { readonly name: DrawingName }) => (
  <svg className="term-drawing" viewBox="0 0 60 108" aria-hidden="true">
    {drawings[name]}
  </svg>
)
