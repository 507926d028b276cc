import { describe, expect, test } from 'vitest'
import { COMMANDS } from '../../gateway/cli/commands.ts'
import { EXIT_CODES, exitCodeOf } from '../../gateway/cli/exit-codes.ts'
import { VERSION } from '../../gateway/version.ts'
import { ERROR_CATALOGUE, type ErrorCode } from '../../shared/errors.ts'
import { evenpull } from './support.ts'

describe('a command line that is not understood says why, and exits 2:', () => {
  test.each([
    [['chek', 'line.yaml'], 'there is no command chek; did you mean check?'],
    [['xyzzy'], 'there is no command xyzzy; the commands are run, check, doctor, simulate, probe'],
    [['--port', '1', 'run'], 'expected a command before --port'],
    [['check'], 'evenpull check needs CONFIG'],
    [['check', 'a', 'b'], 'evenpull check takes one CONFIG, got "a" "b"'],
    [['run', 'a', '--prot', '1'], 'evenpull run has no flag --prot; did you mean --port?'],
    [['run', 'a', '-p', '1'], 'evenpull run has no flag -p'],
    [['run', 'a', '--port'], '--port needs a value'],
    [['run', 'a', '--port='], '--port needs a value'],
    [['run', 'a', '--port', '65536'], '--port: expected a whole number from 0 to 65535, got "65536"'],
    [['run', 'a', '--port', '1e3'], '--port: expected a whole number'],
    [['check', 'a', '--json=yes'], '--json takes no value, got "yes"'],
    [['probe', 'host:99999'], 'host:99999: expected HOST:PORT with a port from 1 to 65535'],
    [['probe', 'tcp://host:1'], 'tcp://host:1: expected HOST:PORT, rtu-over-tcp://HOST:PORT or a serial path'],
    [['probe', 'rtu-over-tcp://host'], 'the port is missing'],
    [['probe', 'host:502', '--baud', '9600'], '--baud belongs to a serial path, and host:502 is a network address'],
    [
      ['probe', '/dev/ttyS0', '--parity', 'evem'],
      '--parity: expected none, even or odd, got "evem"; did you mean even?',
    ],
    [['probe', '/dev/ttyS0', '--unit', '0'], '--unit 0 is the broadcast of a serial line'],
    [['probe', 'host:502', '--function', '6'], '--function: expected 3 or 4, got "6"'],
    [['probe', 'host:502', '--address', '65530', '--count', '10'], 'end past the last register, 65535'],
    [['replay', 'a.csv', '--unit', 'kn'], '--unit: expected N, kN, lbf or kgf, got "kn"; did you mean kN?'],
    [['replay', 'a.csv', '--speed', '0'], '--speed: expected a number over 0, got "0"'],
    [['replay', 'a.csv', '--capacity', '-5'], '--capacity: expected a number over 0'],
    [
      ['report', 'a', 'infeed', '--last', '8h', '--html', 'out.html'],
      '--html is for a verification record, and "infeed" is the id of none',
    ],
    [['report', 'a', 'infeed', '--check'], '--check is for a verification record'],
    [['simulate', '--prot', '1'], 'evenpull simulate has no flag --prot; did you mean --port?'],
    [['simulate', '--training', 'demo'], 'the training machine has lines of its own: demo is too much'],
  ])('%j', async (args, sentence) => {
    const { code, out, err } = await evenpull(...args)
    expect(err).toContain(sentence)
    expect(code).toBe(2)
    expect(out).toBe('')
  })

  test('with --json, as JSON on standard output', async () => {
    const { code, out, err } = await evenpull('check', '--json', '--jsn')
    expect(code).toBe(2)
    expect(err).toBe('')
    expect(JSON.parse(out)).toMatchObject({ ok: false, errors: [{ code: 'EVP_USAGE' }] })
  })
})

describe('help', () => {
  test('without a command goes to standard error and exits 2; asked for, to standard output and 0', async () => {
    const none = await evenpull()
    const asked = await evenpull('--help')
    expect(none).toEqual({ code: 2, out: '', err: asked.out })
    expect(asked.code).toBe(0)
    for (const { name } of COMMANDS) expect(asked.out).toContain(name)
  })

  test.each(COMMANDS.map((command) => [command.name, command] as const))(
    'of %s names its operand, flags and every exit code',
    async (name, command) => {
      const { code, out } = await evenpull(name, '--help')
      expect(code).toBe(0)
      expect(out).toContain(`evenpull ${name} ${command.operand.name}`)
      for (const flag of Object.keys(command.flags)) expect(out).toContain(`--${flag}`)
      for (const [exit, meaning] of Object.entries(EXIT_CODES)) expect(out).toContain(`${exit}  ${meaning}`)
      expect(await evenpull('help', name)).toEqual({ code, out, err: '' })
    },
  )

  test('--version prints the version', async () => {
    expect(await evenpull('--version')).toEqual({ code: 0, out: VERSION, err: '' })
  })
})

test('every error code has an exit code that the help explains', () => {
  for (const code of Object.keys(ERROR_CATALOGUE) as ErrorCode[])
    expect(EXIT_CODES).toHaveProperty(String(exitCodeOf(code)))
})
