import type { CsvFormatName } from '../../report/csv-format.ts'
import { Section } from '../parts/section.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { csvFormatLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

const formats = Object.entries(csvFormatLabels).map(([value, label]) => ({ value: value as CsvFormatName, label }))

/** How tables are written, and whether names go with what is taken along. */
export function ExportChoices() {
  const { store } = useWorkbench()
  const format = useWorkbenchState((state) => state.csvFormat)
  const names = useWorkbenchState((state) => state.namesInExports)
  return (
    <Section title={text.exports}>
      <Segmented
        label={text.csvFields}
        options={formats}
        value={format}
        columns={2}
        onChange={(csvFormat) => store.getState().chooseCsvFormat(csvFormat)}
      />
      <label className="check-line">
        <input
          type="checkbox"
          checked={names}
          onChange={(event) => store.setState({ namesInExports: event.target.checked })}
        />
        <span>
          {text.namesInExports}
          <span className="field-note">{text.namesInExportsNote}</span>
        </span>
      </label>
    </Section>
  )
}
