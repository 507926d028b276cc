import type { Stage } from '../physics/programme.ts'
import { COATER, EDGE_STRIP, EXAMPLE_BOARD, EXAMPLE_CONFIG, EXAMPLE_DEVICES, exampleLine } from './example-line.ts'
import type { Scenario } from './scenario.ts'

const perMinute = (metres: number) => metres / 60
/** Runs on at the speed reached, after the operator has set these tensions. */
const run = (seconds: number, speed: number, coater: number, strip: number): Stage => ({
  seconds,
  speed: perMinute(speed),
  setTension: { [COATER]: coater, [EDGE_STRIP]: strip },
})
const ramp = (seconds: number, speed: number): Stage => ({ seconds, speed: perMinute(speed) })

/** An ordinary shift: the line runs, the operator trims the tension every few minutes, and four times an hour the speed moves between 180 and 300 m/min. */
export const demo: Scenario = {
  id: 'demo',
  title: 'an ordinary shift: two zones running, small operator steps, 180 to 300 m/min, never stopped',
  parameters: exampleLine,
  programme: {
    startSpeed: perMinute(240),
    setTension: { [COATER]: 250, [EDGE_STRIP]: 60 },
    repeat: true,
    // Holds of ten minutes and more between the ramps: a rate of drift needs that long at one speed.
    stages: [
      run(150, 240, 250, 60),
      run(150, 240, 253, 60),
      ramp(20, 270),
      run(240, 270, 253, 60),
      run(180, 270, 250, 61),
      run(300, 270, 252, 60),
      run(240, 270, 250, 60),
      ramp(25, 300),
      run(300, 300, 250, 61),
      run(240, 300, 247, 60),
      run(180, 300, 248, 60),
      run(240, 300, 250, 61),
      ramp(40, 210),
      run(270, 210, 252, 60),
      run(210, 210, 250, 59),
      run(240, 210, 249, 60),
      ramp(15, 180),
      run(360, 180, 250, 60),
      run(300, 180, 252, 60),
      ramp(30, 240),
      run(240, 240, 252, 60),
      run(180, 240, 251, 60),
    ],
  },
  devices: EXAMPLE_DEVICES,
  iio: EXAMPLE_BOARD,
  configFile: EXAMPLE_CONFIG,
}
