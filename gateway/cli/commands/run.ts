import type { Command } from '../command.ts'
import { textFlag, wholeFlag } from '../options.ts'

/** `evenpull run CONFIG`: the gateway, until it is stopped. */
export const run: Command = {
  name: 'run',
  summary: 'Run the gateway on a config: poll, judge, and serve the page, the API and the stream',
  operand: { name: 'CONFIG', help: 'the YAML file of devices, channels and zones' },
  flags: {
    port: { type: 'string', value: 'PORT', help: 'serve on this port instead of gateway.port; 0 takes a free one' },
    host: {
      type: 'string',
      value: 'HOST',
      help: 'bind to this address instead of gateway.host; others than loopback need users',
    },
  },
  notes: [
    'Edits of the config are applied while it runs; an edit that is wrong is refused and the old one keeps running.',
    'Stop it with Ctrl-C or SIGTERM.',
  ],
  async run({ operand, flags, json }) {
    const port = wholeFlag(flags, 'port', 0, 65_535)
    const host = textFlag(flags, 'host')
    const { runGateway } = await import('../../main.ts')
    await runGateway({
      configPath: operand,
      json,
      ...(port === undefined ? {} : { port }),
      ...(host === undefined ? {} : { host }),
    })
    return 0
  },
}
