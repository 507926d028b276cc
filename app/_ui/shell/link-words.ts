import type { Link } from '../../_stream/connection.ts'

/** What a lost or unfinished connection means, as a sentence without its counting age. */
export function linkSentence(link: Link, hasEverBeenLive: boolean, isPictureYoung: boolean): string {
  if (link.phase === 'live')
    return isPictureYoung ? 'Connected to the gateway.' : 'Connected, but the gateway sends no new figures.'
  if (link.phase === 'connecting') return 'Connecting to the gateway.'
  if (link.reason === 'not-understood') return 'The gateway speaks another version than this page: reload the page.'
  if (!hasEverBeenLive) return 'The gateway does not answer. Check that it runs; this page keeps trying.'
  return link.reason === 'closed'
    ? 'Connection lost: the gateway closed it or is gone. Trying again.'
    : 'Connection lost: nothing comes from the gateway. Trying again.'
}
