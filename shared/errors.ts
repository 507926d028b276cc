/**
 * Every refusal of the product, in one catalogue: what happened, where, what to do.
 * README lists the same codes; a test keeps the two equal in both directions.
 */
export const ERROR_CATALOGUE = {
  EVP_CONFIG_NOT_FOUND: 'Check the path of the config file, and that this user may read it.',
  EVP_CONFIG_YAML: 'Mend the YAML at the line and column named; the rest was not read.',
  EVP_CONFIG_INVALID: 'Change the value at the line and column named; nothing was applied.',
  EVP_CONFIG_REFERENCE: 'Name a device or channel that the same file defines.',
  EVP_CONFIG_RATE: 'Lower rate_hz, raise the baud rate, or merge registers; the arithmetic is in the message.',
  EVP_BIND_OPEN: 'Bind to 127.0.0.1, or add a first user: evenpull users add CONFIG NAME --role engineer.',
  EVP_PORT_TAKEN: 'Another program holds the port: stop it, or choose another with --port.',
  EVP_DEVICE_UNREACHABLE: 'Check power, cable, address and port of the device; the gateway keeps trying.',
  EVP_DEVICE_TIMEOUT: 'The device did not answer in time: check the line, raise timeout_ms, or lower rate_hz.',
  EVP_DEVICE_CLOSED: 'The device closed the connection; the gateway opens a new one.',
  EVP_FRAME_INVALID:
    'The answer broke the protocol and was thrown away; check for noise or a second master on the line.',
  EVP_MODBUS_EXCEPTION:
    'The device refused the request: check unit id, function, address and count against its manual.',
  EVP_FUNCTION_REFUSED: 'Only functions 01 to 04 leave this product; it never writes to a device.',
  EVP_SERIAL_OPEN: 'Check the serial path and that this user may open it (group dialout on many systems).',
  EVP_IIO_READ: 'Check the IIO root, device and channel names; the file named could not be read as a number.',
  EVP_REPLAY_FORMAT: 'Mend the CSV at the line named; the header and the columns are in the README.',
  EVP_REQUEST_INVALID: 'Correct the request as the message says; /api/openapi.json describes every one.',
  EVP_NOT_FOUND: 'There is no such zone or address; GET /api/zones lists what exists.',
  EVP_ORIGIN_REFUSED: "Open the page from the gateway's own address; other origins are refused.",
  EVP_SOCKET_MESSAGE:
    'The message did not follow the protocol named in the hello; it was ignored or the socket closed.',
  EVP_TOO_LARGE: 'Send less: the limit is in the message.',
  EVP_TOO_MANY: 'Too many at once: wait and try again; the limit is in the message.',
  EVP_USAGE: 'See --help of the command.',
  EVP_INTERNAL: 'This is a fault of the product: keep the log and report it.',
  EVP_REPLAY_FILE: 'Check the path of the recording, and that this user may read it.',
  EVP_REPLAY_ENDED: 'The recording has been played to its end: start again, or set repeat: true.',
  EVP_CONFIG_CHANGED: 'The config file changed meanwhile: look at what it says now and make the change again.',
  EVP_CONFIG_WRITE: 'Nothing was changed: see to free space and to the rights on the config file and its folder.',
  EVP_ALARM_STATE: 'The alarm does not allow this as it stands; GET /api/alarms shows how that is.',
  EVP_LOGIN_NEEDED: 'Log in on the page, or send a token: Authorization: Bearer TOKEN.',
  EVP_LOGIN_REFUSED: 'Check name and password; after a few failures each next try has to wait longer.',
  EVP_ROLE: 'Ask somebody with the role named, or have an engineer change yours.',
  EVP_USER_INVALID: 'Nothing was changed: do what the message says.',
  EVP_USERS_FILE: 'Mend the file or bring it back from a copy; without it nobody is let in.',
  EVP_TLS: 'Name a certificate and its key, both PEM, that this user may read and that belong together.',
  EVP_RECORDER_OFF: 'Recording is off: set recorder.enabled to true in the config.',
  EVP_RECORDER_STOPPED: 'Recording has stopped: GET /api/health says why under `recorder`; it goes on by itself.',
  EVP_STORE_LOCKED: 'Only one gateway may record to a store: stop the other one, or give each a folder of its own.',
  EVP_STORE_NEWER: 'Run the version that wrote the store, or name another recorder.folder; nothing was changed.',
  EVP_STORE_BROKEN: 'A new store was begun; keep the file that was set aside if its data matter.',
  EVP_STORE_WRITE: 'See to the rights on the folder of the store and to its disk; recording is tried again by itself.',
  EVP_STORE_FULL: 'Free space on the disk of the store, or keep less (recorder.keep); recording goes on by itself.',
  EVP_FORWARD_UNREACHABLE: 'Check url, network and that the broker runs; messages wait, and the gateway keeps trying.',
  EVP_FORWARD_REFUSED: 'Check username, password_file and what the broker lets this user publish; messages wait.',
  EVP_FORWARD_TLS: 'Give the authority of the certificate in tls.ca, and in url the name the certificate was made for.',
  EVP_FORWARD_FILE: 'Check the path of the file named in forward.mqtt, and that this user may read it.',
  EVP_FORWARD_CLOSED: 'The broker closed the connection; the gateway opens a new one, and messages wait meanwhile.',
  EVP_RECORD_SIGNED: 'The record is signed: add a correction or a note, or begin a new record.',
  EVP_RECORD_DAMAGED:
    'It was changed in the store: `evenpull report CONFIG RECORD --check` says where; take it from a backup.',
  EVP_KEY_REUSED:
    'Nothing was changed: what is sent anew needs a key of its own, only the very same may bear the same.',
  EVP_CAPTURE: 'Nothing was kept: take the capture again as the message says.',
  EVP_TRAINING_OFF: 'There is no training machine here: start one with `npm run evenpull -- simulate`.',
  EVP_TRAINING_UNREACHABLE:
    'The training machine does not answer: see whether its command still runs, and start it again.',
  EVP_TRAINING_STATE: 'The exercise does not allow this now; GET /api/training/exercise shows how it stands.',
  EVP_TRAINING_KEY: 'Give the instructor’s key, as the command that started the training machine has printed it.',
} as const

export type ErrorCode = keyof typeof ERROR_CATALOGUE

/** Where in a file an error stands; both counted from 1. */
export interface FilePlace {
  readonly file: string
  readonly line: number
  readonly column: number
}

/** An error a person can act on. `message` says what and where; `remedy` says what to do. */
export class EvenpullError extends Error {
  override readonly name = 'EvenpullError'
  readonly code: ErrorCode
  readonly remedy: string
  readonly place: FilePlace | undefined
  /** The Modbus exception a device refused with; only on EVP_MODBUS_EXCEPTION. */
  readonly exceptionCode: number | undefined = undefined

  constructor(code: ErrorCode, message: string, options: { place?: FilePlace; remedy?: string; cause?: unknown } = {}) {
    super(message, options.cause === undefined ? undefined : { cause: options.cause })
    this.code = code
    this.remedy = options.remedy ?? ERROR_CATALOGUE[code]
    this.place = options.place
  }

  /** The form every API and `--json` output uses. */
  toJSON(): ErrorBody {
    return {
      code: this.code,
      message: this.message,
      remedy: this.remedy,
      ...(this.place === undefined ? {} : { place: this.place }),
      ...(this.exceptionCode === undefined ? {} : { exceptionCode: this.exceptionCode }),
    }
  }
}

export interface ErrorBody {
  readonly code: ErrorCode
  readonly message: string
  readonly remedy: string
  readonly place?: FilePlace
  readonly exceptionCode?: number
}
