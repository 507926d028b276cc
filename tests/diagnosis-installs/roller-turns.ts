import type { Config } from '../../shared/schemas/config.ts'
import type { RegisterField } from '../../simulator/servers/personalities.ts'

const ADDRESS = 90

/** Turns a second of the measuring roller, as such a counter gives them. */
export const ROLLER_TURNS: RegisterField = {
  name: 'turns of the measuring roller',
  address: ADDRESS,
  type: 'float32',
  order: 'ABCD',
  read: ({ rollerRate }) => rollerRate / (2 * Math.PI),
}

/** The config of a line with that counter. */
export function withRollerTurns(config: Config): Config {
  const made = structuredClone(config)
  const [zone] = made.zones
  const like = made.channels.find(({ id }) => id === zone?.speed)
  if (zone === undefined || like === undefined) return made
  const id = 'roller-turns'
  made.channels.push({
    ...like,
    id,
    name: 'Turns of the measuring roller',
    measures: 'roller_speed',
    register: { ...like.register, address: ADDRESS },
    scale: { ...like.scale, unit: '1/s', u_percent: 0.1, u: 0.001 },
  } as Config['channels'][number])
  zone.roller_speed = id
  return made
}
