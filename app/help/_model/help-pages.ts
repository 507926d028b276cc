/** The pages of Help, in the order they are read: for the list, for what comes next, and for the tests. */
export const HELP_PAGES = [
  {
    path: '/help/connect',
    title: 'Connect an amplifier',
    says: 'From an amplifier on the wall to both sides live, in five minutes.',
  },
  {
    path: '/help/symptoms',
    title: 'Symptoms',
    says: 'What you see, what it may be, and what to look at first.',
  },
  {
    path: '/help/figures',
    title: 'How each number is got',
    says: 'Formula, window, uncertainty and source of every figure.',
  },
  {
    path: '/help/limits',
    title: 'Limits',
    says: 'Every limit as it comes, where it is from, and how to set your own.',
  },
  {
    path: '/help/words',
    title: 'Words',
    says: 'The words of the trade and of these pages, in plain sentences.',
  },
  {
    path: '/help/service',
    title: 'Run as a service',
    says: 'Started with the machine, started again after a fault.',
  },
  {
    path: '/help/container',
    title: 'Run in a container',
    says: 'An image made of the package, and what it needs from outside.',
  },
  {
    path: '/help/backup',
    title: 'Back up and restore',
    says: 'Everything of a gateway in one folder, and back.',
  },
  {
    path: '/help/upgrade',
    title: 'Upgrade',
    says: 'To a newer version, and the way back.',
  },
  {
    path: '/help/many-lines',
    title: 'Many lines in one plant',
    says: 'A gateway each, one broker, one history, up to a thousand of them on paper.',
  },
] as const

export type HelpPath = (typeof HELP_PAGES)[number]['path']
