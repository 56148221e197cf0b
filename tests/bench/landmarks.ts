import { spawnSync } from 'node:child_process'
import { keepResult } from './keep.ts'
import { legFiles } from './legs.ts'
import { quantile } from './pairs.ts'

// From two files to `landmarks --json`, the program started anew each time. What is asked of 200,000 triangles is measured for both bones together and for each.

const asked = [
  { trianglesPerBone: 100_000, mostS: 2 },
  { trianglesPerBone: 200_000, mostS: 2 },
  { trianglesPerBone: 1_000_000, mostS: 6 },
] as const

const rows = asked.map(({ trianglesPerBone, mostS }) => {
  const leg = legFiles(trianglesPerBone)
  const command = ['landmarks', '--femur', leg.femur, '--tibia', leg.tibia, '--json']
  const once = (): number => {
    const from = performance.now()
    const program = `import { run } from './dist/cli/main.js'; await run(${JSON.stringify(command)})`
    const { status, stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', program], {
      encoding: 'utf8',
      maxBuffer: 1e9,
    })
    if (status !== 0 || !stdout.includes('floorline.landmarks/1')) throw new Error(stderr)
    return (performance.now() - from) / 1000
  }
  const walls = Array.from({ length: 5 }, once)
  const wallS = quantile(walls, 0.5)
  console.log(
    `  ${trianglesPerBone.toLocaleString('en').padStart(9)} per bone: ${wallS.toFixed(2)} s (asked < ${mostS})`,
  )
  return {
    triangles: leg.triangles,
    mostS,
    wallS,
    lowS: Math.min(...walls),
    highS: Math.max(...walls),
    met: wallS < mostS,
  }
})
keepResult('landmarks', { met: rows.every((row) => row.met), rows })
