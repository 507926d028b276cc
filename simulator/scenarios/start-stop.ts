import { COATER, EDGE_STRIP, EXAMPLE_BOARD, EXAMPLE_CONFIG, EXAMPLE_DEVICES, exampleLine } from './example-line.ts'
import type { Scenario } from './scenario.ts'

const perMinute = (metres: number) => metres / 60

/** The same line through its whole life in six minutes: threaded and slack, pulled tight, started, run, slowed, stopped, let go. */
export const startStop: Scenario = {
  id: 'start-stop',
  title: 'slack, stall tension, start-up, run, slow-down, stop and slack again, every six minutes',
  parameters: exampleLine,
  programme: {
    startSpeed: 0,
    setTension: { [COATER]: 250, [EDGE_STRIP]: 60 },
    repeat: true,
    stages: [
      { seconds: 30, speed: 0, slack: true },
      { seconds: 20, speed: 0, setTension: { [COATER]: 120, [EDGE_STRIP]: 30 } },
      { seconds: 40, speed: perMinute(240), setTension: { [COATER]: 250, [EDGE_STRIP]: 60 } },
      { seconds: 180, speed: perMinute(240) },
      { seconds: 35, speed: 0 },
      { seconds: 25, speed: 0, setTension: { [COATER]: 120, [EDGE_STRIP]: 30 } },
      { seconds: 30, speed: 0, slack: true },
    ],
  },
  devices: EXAMPLE_DEVICES,
  iio: EXAMPLE_BOARD,
  configFile: EXAMPLE_CONFIG,
}
