import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'

export const dryConnector = act({
  id: 'dry-connector',
  title: 'Dry and seal a cell’s connector',
  seconds: 1200,
  caution: 'Locked out; instrument supply off while the connector is open.',
  needs: AT_THE_ROLLER,
  args: z.strictObject({ side }),
  run(bench, args) {
    bench.parameters.cells[args.side].insulation = bench.soundZone.cells[args.side].insulation
    bench.fit.ends[args.side].connectorDry = true
    return done(`The ${SIDE_WORDS[args.side]} connector is dried and sealed.`)
  },
})
