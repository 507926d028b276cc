import { readFileSync } from 'node:fs'

interface PackageFile {
  readonly version: string
}

const file = new URL('../package.json', import.meta.url)

/** The product's version, as in package.json. */
export const VERSION: string = (JSON.parse(readFileSync(file, 'utf8')) as PackageFile).version
