import { caution } from '../casefile/program.ts'

/** The printed sheet: A4; caution and page number stand in the bottom margin of every page. */
export const pageRule = `@page {
  size: A4;
  margin: 16mm 15mm 22mm;
  @bottom-left { content: "${caution}"; width: 150mm; font: 7.5pt/1.3 system-ui, sans-serif; color: #7a3610; vertical-align: middle; text-align: left }
  @bottom-right { content: counter(page) " / " counter(pages); font: 8pt system-ui, sans-serif; color: #555 }
}`

/** Style of the report on screen and on paper. */
export const reportStyle = `
${pageRule}
:root { color-scheme: light }
* { box-sizing: border-box }
body { font: 10pt/1.4 Inter, system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; color: #1d1b18; background: #fff; max-width: 190mm; margin: 0 auto; padding: 8mm 5mm 14mm; font-variant-numeric: tabular-nums }
h1 { font-size: 18pt; margin: 0; overflow-wrap: anywhere }
h2 { font-size: 12pt; margin: 6mm 0 2mm; border-bottom: 1px solid #bbb3a4; break-after: avoid }
header { position: relative; padding-right: 42mm }
.kicker { margin: 0; color: #6a6256; text-transform: uppercase; letter-spacing: .06em; font-size: 8pt }
.side { position: absolute; right: 0; top: 0; margin: 0; font-size: 26pt; font-weight: 700; letter-spacing: .04em }
table { border-collapse: collapse; width: 100%; max-width: 100%; margin: 1.5mm 0; font-size: 9pt }
th, td { overflow-wrap: break-word }
th { text-align: left; font-weight: 600; vertical-align: bottom; border-bottom: 1.5px solid #1d1b18; padding: 1mm 1.5mm }
td { border-bottom: 1px solid #ddd6c9; padding: .8mm 1.5mm; vertical-align: top }
td.number { text-align: right; white-space: nowrap }
th.number { text-align: right }
td.write { border-bottom: 1px solid #1d1b18; min-width: 20mm }
td.name { white-space: nowrap }
tr:has(td.write) td { padding-top: 1.5mm; padding-bottom: 1.5mm }
td.verdict { white-space: nowrap; font-size: 8pt }
tr { break-inside: avoid }
thead { display: table-header-group }
td.spoiled { background: repeating-linear-gradient(135deg, transparent 0 3px, #d9cfbd 3px 4px); print-color-adjust: exact; -webkit-print-color-adjust: exact }
td.spoiled sup { font-size: 6.5pt; color: #8a3c10 }
.price { columns: 2; column-gap: 8mm }
.price table { font-size: 8.5pt; break-inside: avoid }
.price :is(th, td) { padding-top: .4mm; padding-bottom: .4mm }
.remarks { columns: 2; column-gap: 6mm; font-size: 8pt; line-height: 1.3; color: #3d3832 }
.remarks p { margin: 0 0 1mm; break-inside: avoid }
.small { font-size: 8pt; color: #5b5449 }
.caution { font-size: 8.5pt; border: 1px solid #b3541e; padding: 1.5mm 2mm; color: #7a3610 }
.notes { white-space: pre-wrap; overflow-wrap: anywhere }
figure { margin: 2mm 0; text-align: center; break-inside: avoid }
figcaption { font-size: 8pt; color: #5b5449 }
svg.stance { max-width: 100%; height: 112mm }
/* On screen a narrow sheet keeps the proportions of the paper. */
@media screen {
  body { container-type: inline-size }
  table { font-size: min(9pt, 1.66cqw) }
  th, td { padding-left: .45em; padding-right: .45em }
  td.write { min-width: 6.2em }
  td.verdict { font-size: .9em }
}
@media print {
  body { padding: 0; max-width: none; font-size: 9pt }
  svg.stance { height: 88mm }
  table { font-size: 8.5pt }
  td { padding-top: .5mm; padding-bottom: .5mm }
  h2 { margin-top: 4.5mm }
  .remarks { font-size: 7.5pt }
  header .caution { border: 0; padding: 0 }
}
`
