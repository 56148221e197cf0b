interface Point {
  readonly name: string
  readonly against: string
  readonly triangles: number
  readonly ours: { readonly medianMs: number }
  readonly theirs: { readonly medianMs: number }
}

const WIDTH = 720
const HEIGHT = 460
const LEFT = 60
const RIGHT = 250
const TOP = 20
const BOTTOM = 40

/** Time over number of triangles, both logarithmic, of the one-plane query and what it is compared with. */
export function growthPlot(rows: readonly Point[]): string {
  const chosen = rows.filter((r) => r.name === 'one plane, volume and area')
  const lines = new Map<string, [number, number][]>()
  const put = (name: string, n: number, ms: number): void => {
    const line = lines.get(name) ?? []
    lines.set(name, line)
    const known = line.find(([x]) => x === n)
    if (known) known[1] = Math.min(known[1], ms)
    else line.push([n, ms])
  }
  for (const r of chosen) {
    put('Floorline', r.triangles, r.ours.medianMs)
    put(r.against, r.triangles, r.theirs.medianMs)
  }
  const points = [...lines.values()].flat()
  if (points.length === 0) return '<svg xmlns="http://www.w3.org/2000/svg"/>\n'
  const x = scale(
    points.map(([n]) => n),
    LEFT,
    WIDTH - RIGHT,
  )
  const y = scale(
    points.map(([, ms]) => ms),
    HEIGHT - BOTTOM,
    TOP,
  )
  const strokes = ['#c2410c', '#334155', '#0369a1', '#4d7c0f', '#7e22ce']
  const drawn = [...lines].map(([name, line], k) => {
    const path = line.map(([n, ms]) => `${x(n).toFixed(1)},${y(ms).toFixed(1)}`).join(' ')
    const [n, ms] = line[line.length - 1]!
    return `<polyline points="${path}" fill="none" stroke="${strokes[k % strokes.length]}" stroke-width="2"/>
<text x="${x(n) + 8}" y="${y(ms) + 4}" fill="${strokes[k % strokes.length]}">${name.split(':')[0]}</text>`
  })
  const ticks = [...new Set(points.map(([n]) => n))].map(
    (n) => `<text x="${x(n)}" y="${HEIGHT - 18}" text-anchor="middle">${n.toLocaleString('en')}</text>`,
  )
  const levels = [0.01, 0.1, 1, 10, 100, 1000, 10_000].filter((ms) => y(ms) >= TOP && y(ms) <= HEIGHT - BOTTOM)
  const grid = levels.map(
    (ms) => `<line x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${y(ms)}" y2="${y(ms)}" stroke="#e2e8f0"/>
<text x="${LEFT - 6}" y="${y(ms) + 4}" text-anchor="end">${ms} ms</text>`,
  )
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="sans-serif" font-size="11" role="img">
<title>Time of one plane query over the size of the mesh</title>
<rect width="100%" height="100%" fill="white"/>
${[...grid, ...ticks, ...drawn].join('\n')}
<text x="${(LEFT + WIDTH - RIGHT) / 2}" y="${HEIGHT - 4}" text-anchor="middle">triangles: volume and area of one plane</text>
</svg>
`
}

function scale(values: readonly number[], from: number, to: number): (value: number) => number {
  const low = Math.log(Math.min(...values))
  const high = Math.log(Math.max(...values))
  return (value) => from + ((Math.log(value) - low) / Math.max(high - low, 1e-9)) * (to - from)
}
