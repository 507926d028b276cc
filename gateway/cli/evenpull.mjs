#!/usr/bin/env node
/**
 * `evenpull COMMAND …` in one process: plain Node loads the program as it is best had, then hands over.
 * Nothing here may need a newer Node or an installed package before it has said so.
 */
const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
if (major < 20 || (major === 20 && minor < 9)) {
  console.error(`evenpull: Node ${process.versions.node} is too old; install Node 20.9 or newer`)
  process.exit(4)
}

// Whoever read what this says has enough (`| head`): it goes on, says no more, and its exit code stands.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error) => {
    if (error.code !== 'EPIPE') throw error
  })

async function program() {
  try {
    const { decideAnew, loadSource } = await import('../start/load-source.mjs')
    decideAnew()
    return await loadSource('gateway/cli/main.ts')
  } catch (error) {
    if (error?.code !== 'ERR_MODULE_NOT_FOUND' || !/^Cannot find package/.test(error.message)) throw error
    console.error('evenpull: its packages are not installed; run npm ci in its folder first')
    process.exit(4)
  }
}

const { cli } = await program()
process.exitCode = await cli(process.argv.slice(2))
