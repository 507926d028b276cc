/** WebSocket subprotocol and path. A change that an older page cannot read gets a new number. */
export const SUBPROTOCOL = 'evenpull.v1'
export const STREAM_PATH = '/stream'

/** Seconds of full-rate samples the gateway keeps in memory and sends to a page that connects. */
export const BACKLOG_SECONDS = 600
/** A client with more than this buffered gets envelopes and a count instead of samples. */
export const MAX_BUFFERED_BYTES = 64 * 1024
/** Longest text message a client may send. */
export const MAX_CLIENT_MESSAGE_BYTES = 4096

/** Close code of a socket whose session or token has ended (4000 to 4999 are ours to give: RFC 6455, 7.4.2). */
export const CLOSE_LOGGED_OUT = 4401
