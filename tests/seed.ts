import fc from 'fast-check'

/** Property tests draw the same cases in every run, so that a green run stays green; `FLOORLINE_SEED` draws others. */
fc.configureGlobal({ seed: Number(process.env['FLOORLINE_SEED'] ?? 20_261_125) })
