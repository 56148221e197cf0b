import { shapeKinds } from '../../geometry/fit-shape.ts'
import { NumberField } from '../parts/number-field.tsx'
import { Section } from '../parts/section.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { handTools, snapNames, snapWays } from '../store/hand-slice.ts'
import { handText, shapeLabels, snapHints, snapLabels, toolHints, toolLabels } from '../text/hand-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { FitFacts } from './fit-facts.tsx'
import { FitUses } from './fit-uses.tsx'
import { HandPoints } from './hand-points.tsx'

/** Work by hand on the bones: put a landmark, pick points, paint a patch, and use what is fitted to them. */
export function HandSection() {
  const { store } = useWorkbench()
  const tool = useWorkbenchState((state) => state.handTool)
  const snapTo = useWorkbenchState((state) => state.snapTo)
  const snapWay = useWorkbenchState((state) => state.snapWay)
  const choose = store.getState().chooseHand
  return (
    <Section title={handText.title}>
      <Segmented
        label={handText.tool}
        hideLabel
        options={handTools.map((value) => ({ value, label: toolLabels[value], hint: toolHints[value] }))}
        value={tool}
        onChange={(handTool) => choose({ handTool })}
      />
      <p className="footnote">{toolHints[tool]}</p>
      {tool === 'paint' ? (
        <ChoiceField name="brushMm" label={handText.brush} quantity="mm" min={1} max={40} />
      ) : (
        <>
          <Segmented
            label={handText.snap}
            columns={4}
            options={snapNames.map((value) => ({ value, label: snapLabels[value], hint: snapHints[value] }))}
            value={snapTo}
            onChange={(next) => choose({ snapTo: next })}
          />
          {snapTo === 'extreme' ? (
            <Segmented
              label={handText.way}
              hideLabel
              columns={3}
              options={snapWays.map((value) => ({ value, label: value }))}
              value={snapWay}
              onChange={(next) => choose({ snapWay: next })}
            />
          ) : null}
          {snapTo === 'surface' ? null : (
            <ChoiceField name="snapRadiusMm" label={handText.within} quantity="mm" min={1} max={30} />
          )}
        </>
      )}
      {tool === 'landmark' ? null : <Fitting />}
    </Section>
  )
}

function Fitting() {
  const { store } = useWorkbench()
  const painting = useWorkbenchState((state) => state.handTool === 'paint')
  const shape = useWorkbenchState((state) => state.shape)
  const some = useWorkbenchState((state) => state.handPoints.length + state.handBalls.length > 0)
  const rejecting = useWorkbenchState((state) => state.rejectBeyondSd !== null)
  const choose = store.getState().chooseHand
  return (
    <>
      <Segmented
        label={handText.shape}
        columns={3}
        options={shapeKinds.map((value) => ({ value, label: shapeLabels[value] }))}
        value={shape}
        onChange={(next) => choose({ shape: next })}
      />
      {painting ? (
        <>
          <label className="check">
            <input
              type="checkbox"
              checked={rejecting}
              onChange={(event) => choose({ rejectBeyondSd: event.target.checked ? 3 : null })}
            />
            {handText.reject}
          </label>
          {rejecting ? (
            <ChoiceField name="rejectBeyondSd" label={handText.beyond} quantity="ratio" min={1} max={10} />
          ) : null}
        </>
      ) : (
        <HandPoints />
      )}
      <FitFacts />
      <FitUses />
      {some ? (
        <button type="button" className="button wide" onClick={() => store.getState().clearHand()}>
          {painting ? handText.clearPaint : handText.clearPoints}
        </button>
      ) : null}
    </>
  )
}

interface ChoiceFieldProps {
  readonly name: 'brushMm' | 'snapRadiusMm' | 'rejectBeyondSd'
  readonly label: string
  readonly quantity: 'mm' | 'ratio'
  readonly min: number
  readonly max: number
}

/** A number of the tool, not of the case: nothing to undo. */
function ChoiceField({ name, label, quantity, min, max }: ChoiceFieldProps) {
  const { store } = useWorkbench()
  const value = useWorkbenchState((state) => state[name])
  return (
    <NumberField
      label={label}
      value={value}
      quantity={quantity}
      decimals={1}
      min={min}
      max={max}
      onBegin={nothing}
      onUpdate={(next) => store.getState().chooseHand({ [name]: next })}
      onCommit={nothing}
      onCancel={nothing}
    />
  )
}

const nothing = () => undefined
