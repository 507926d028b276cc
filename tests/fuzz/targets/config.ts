import { readFileSync } from 'node:fs'
import { ConfigErrors } from '../../../gateway/config/errors.ts'
import { parseConfig } from '../../../gateway/config/load.ts'
import { mutatedText, noise, pick } from '../mutate.ts'
import type { Target } from '../target.ts'

const read = (path: string) => readFileSync(new URL(path, import.meta.url), 'utf8')
const CODE = /^EVP_CONFIG_(YAML|INVALID|REFERENCE|RATE)$/

/** Config files: the demo line's and the smallest one, changed; and noise. */
export const config: Target = {
  name: 'config files',
  inputs: 20_000,
  holds: 'is a config, or is refused with a code and a place inside the file',
  async open() {
    const sources = [read('../../../simulator/scenarios/winder.yaml'), read('../../config/fixtures/two-sides.yaml')]
    return {
      feed(random) {
        const text =
          random.uniform() < 0.05 ? noise(random, 200).toString('latin1') : mutatedText(random, pick(random, sources))
        try {
          parseConfig(text, 'line.yaml')
          return 'taken'
        } catch (error) {
          if (!(error instanceof ConfigErrors)) throw error
          const lines = text.split('\n').length
          for (const { code, place } of error.errors)
            if (!CODE.test(code) || (place !== undefined && (place.line < 1 || place.line > lines)))
              throw new Error(`${code} at line ${place?.line}, of ${lines}`)
          return 'refused'
        }
      },
      close: async () => {},
    }
  },
}
