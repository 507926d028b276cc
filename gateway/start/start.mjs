#!/usr/bin/env node
/**
 * `npm start`: sets up what is missing, then runs the main job and prints one address.
 *
 *   npm start                     simulator + gateway + page, on the invented demo line
 *   npm start -- line.yaml        gateway + page on your own config
 *   npm start -- --port 9000      another port for the page
 */
import { fork } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { leanEnvironment } from './lean.mjs'
import { ROOT, setUp } from './setup.mjs'

const DEFAULT_PORT = 8420
const STOP_WITHIN_MS = 5000
const children = new Set()
/** What the demo line records is kept from start to start. */
const DEMO_FOLDER = join(ROOT, '.evenpull', 'demo')
/** What the end removes. */
const leftovers = new Set()
let stopping = false

const say = (line) => console.log(`evenpull: ${line}`)

async function main() {
  const { port, config } = readArguments()
  await setUp(say)
  const configPath = config ?? (await startSimulator())
  const address = await startGateway(configPath, port)
  say(`${config === undefined ? 'demo line on the simulator' : config} is live at`)
  console.log(`\n  ${address}\n`)
  if (config === undefined) say('to train at a machine with hidden faults: npm run evenpull -- simulate')
  say('stop with Ctrl-C')
}

function readArguments() {
  const { values, positionals } = parseArgs({ options: { port: { type: 'string' } }, allowPositionals: true })
  const port = values.port === undefined ? undefined : Number(values.port)
  if (port !== undefined && !(Number.isInteger(port) && port >= 0 && port <= 65_535))
    throw new Error(`--port ${values.port}: expected a whole number from 0 to 65535`)
  if (positionals.length > 1) throw new Error(`expected one config file, got ${positionals.join(' ')}`)
  return { port, config: positionals[0] === undefined ? undefined : resolve(positionals[0]) }
}

/** The demo's own folder; a passing one where another demo runs, or where nothing can be written. */
function demoFolder() {
  const mark = join(DEMO_FOLDER, 'running')
  try {
    mkdirSync(DEMO_FOLDER, { recursive: true })
    if (!isRunning(mark)) {
      writeFileSync(mark, String(process.pid))
      leftovers.add(mark)
      return DEMO_FOLDER
    }
    say('another demo line is running: what this one records is not kept')
  } catch (error) {
    say(`what the demo line records is not kept: ${error.message}`)
  }
  const passing = mkdtempSync(join(tmpdir(), 'evenpull-'))
  leftovers.add(passing)
  return passing
}

/** Whether the process that left this mark is still there. */
function isRunning(mark) {
  try {
    process.kill(Number(readFileSync(mark, 'utf8')), 0)
    return true
  } catch (error) {
    return error.code === 'EPERM'
  }
}

/** The demo machine on free ports; returns the config that fits them. */
async function startSimulator() {
  const configPath = join(demoFolder(), 'demo.yaml')
  const ports = ['--port', '0', '--port2', '0']
  const simulator = child('simulator/main.ts', ['demo', '--json', ...ports, '--write-config', configPath])
  await firstLine(simulator, 'the simulator')
  return configPath
}

/** The gateway; resolves to its address. Without --port a taken default port gives way to a free one. */
async function startGateway(configPath, port) {
  const wanted =
    port === undefined ? ['--port', String((await isFree(DEFAULT_PORT)) ? DEFAULT_PORT : 0)] : ['--port', String(port)]
  const gateway = child('gateway/cli/evenpull.mjs', ['run', configPath, '--json', ...wanted])
  const { address } = await firstLine(gateway, 'the gateway')
  return address
}

function child(script, args) {
  const process_ = fork(join(ROOT, script), args, {
    cwd: ROOT,
    env: leanEnvironment(),
    // What is plain JavaScript brings its own loader along, if it needs one.
    execArgv: script.endsWith('.ts') ? ['--import', import.meta.resolve('tsx')] : [],
    stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
  })
  children.add(process_)
  process_.on('exit', (code, signal) => {
    children.delete(process_)
    if (!stopping) stop(1, `${script} ended unexpectedly (${signal ?? `exit code ${code}`})`)
  })
  return process_
}

/** The first line a child prints is JSON and says that it is ready; the rest is its log. */
function firstLine(process_, what) {
  return new Promise((resolve_, reject) => {
    let text = ''
    const onData = (chunk) => {
      text += chunk
      const end = text.indexOf('\n')
      if (end < 0) return
      process_.stdout.off('data', onData)
      process_.stdout.pipe(process.stdout)
      try {
        resolve_(JSON.parse(text.slice(0, end)))
      } catch {
        reject(new Error(`${what} did not say that it is ready, but: ${text.trim()}`))
      }
    }
    process_.stdout.on('data', onData)
    process_.on('exit', () => reject(new Error(`${what} ended before it was ready`)))
  })
}

function isFree(port) {
  return new Promise((resolve_) => {
    const probe = createServer()
    probe.once('error', () => resolve_(false))
    probe.listen(port, '127.0.0.1', () => probe.close(() => resolve_(true)))
  })
}

/** Ends what was started, and only that; a child that does not end in time is killed. */
function stop(code, reason) {
  if (stopping) return
  stopping = true
  if (reason !== undefined) console.error(`evenpull: ${reason}`)
  const left = [...children]
  const finish = () => {
    for (const path of leftovers) rmSync(path, { recursive: true, force: true })
    process.exit(code)
  }
  if (left.length === 0) return finish()
  for (const c of left) c.once('exit', () => children.size === 0 && finish()).kill('SIGTERM')
  setTimeout(() => {
    for (const c of children) c.kill('SIGKILL')
    finish()
  }, STOP_WITHIN_MS)
}

process.on('SIGINT', () => stop(0))
process.on('SIGTERM', () => stop(0))
main().catch((error) => stop(1, error.message))
