import type { Findings } from '../findings.ts'
import { besideLoads } from './beside-loads.ts'
import { shown } from './numbers.ts'
import { type NumberCell, number, remarks, section, table, text } from './report-table.ts'
import { directionWords, poseWords } from './words.ts'

/** Loads, shear, pressure under the tray and bearing contact of every pose, with what was measured elsewhere. */
export function loadingSection(findings: Findings): string {
  const cell = number(findings)
  const rows = findings.loading.map((load, i) => {
    const at = `loading.${i}`
    return [
      text(poseWords[load.pose]),
      text(directionWords[load.direction]),
      cell(load.loadN, 'N', `${at}.loadN`),
      cell(load.compressionN, 'N', `${at}.compressionN`),
      cell(load.shearN, 'N', `${at}.shearN`),
      cell(load.shearToCompression, 'ratio', `${at}.shearToCompression`),
      cell(load.shearCoronal, 'ratio', `${at}.shearCoronal`),
      cell(load.shearSagittal, 'ratio', `${at}.shearSagittal`),
      cell(load.medialShare, 'percent', `${at}.medialShare`),
      cell(load.interfacePeakMpa, 'MPa', `${at}.interfacePeakMpa`),
      cell(load.interface?.liftOffShare ?? null, 'percent', `${at}.interface.liftOffShare`),
    ]
  })
  return section(
    'Loaded',
    table(
      [
        'Pose',
        'Direction',
        'Load N',
        'Compression N',
        'Shear N',
        'Shear / compression',
        'side to side',
        'front to back',
        'Medial %',
        'Under the tray, peak MPa',
        'lifted off %',
      ],
      rows,
    ) +
      bearingTable(findings, cell) +
      '<p class="small">A level tray has no shear under a vertical load only; loads measured in people stay close to the tray’s own normal. Both directions are model cases.</p>' +
      `<p class="small">Measured elsewhere:</p>${remarks(besideLoads.map(({ what, value, source }) => [what, `${value} (${source})`]))}`,
  )
}

function bearingTable(findings: Findings, cell: NumberCell): string {
  const rows = findings.loading.flatMap((load, i) =>
    (['medial', 'lateral'] as const).flatMap((side) => {
      const condyle = load.bearing?.[side]
      if (!condyle) return []
      const at = `loading.${i}.bearing.${side}`
      return [
        [
          text(poseWords[load.pose]),
          text(directionWords[load.direction]),
          text(side),
          cell(condyle.loadN, 'N', `${at}.loadN`),
          cell(condyle.peakMpa, 'MPa', `${at}.peakMpa`),
          cell(condyle.hertzPeakMpa, 'MPa', `${at}.hertzPeakMpa`),
          cell(condyle.meanMpa, 'MPa', `${at}.meanMpa`),
          cell(condyle.areaMm2, 'mm2', `${at}.areaMm2`),
          `<td class="number">${condyle.centreMm.map((mm) => shown(mm, 'mm', true)).join(' / ')}</td>`,
          cell(condyle.edgeDistanceMm, 'mm', `${at}.edgeDistanceMm`),
          cell(condyle.outerTenthShare, 'percent', `${at}.outerTenthShare`),
          cell(condyle.truncatedShare, 'percent', `${at}.truncatedShare`),
          text(condyle.edgeLoaded ? 'edge loaded' : 'clear of the rim'),
        ],
      ]
    }),
  )
  if (rows.length === 0) return ''
  const head = [
    'Pose',
    'Direction',
    'Condyle',
    'Load N',
    'Layer peak MPa',
    'Half-space peak MPa',
    'Mean MPa',
    'Area mm²',
    'Centre lateral / anterior mm',
    'To rim mm',
    'Outer tenth %',
    'Cut off %',
    '',
  ]
  return table(head, rows)
}
