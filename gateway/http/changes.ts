/** What every route that changes the config has in common. */
export const MAX_CHANGE_BYTES = 1024 * 1024
/** A person accepts one thing after another; each is checked whole and synced to disk. */
export const CHANGES_PER_SECOND = 4

export const CHANGE_REFUSALS = {
  409: 'The file no longer says what the change was made from; nothing was written.',
  422: 'The rules of the config refuse the change; nothing was written.',
  429: `More than ${CHANGES_PER_SECOND} changes in a second.`,
  503: 'The file could not be written (disk full, read-only …); nothing was changed.',
} as const
