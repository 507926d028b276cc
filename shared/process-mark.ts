/** What a system tells of its processes; handed in, for nothing in shared reads files or signals processes. */
export interface Processes {
  /** Sends signal 0, which reaches whoever is there; throws with code EPERM where he is somebody else's, ESRCH where nobody is. */
  signal(pid: number): void
  /** Text of a process's `stat` file (proc(5)); null where the system has none. */
  stat(pid: number): Promise<string | null>
}

/** Mark under which this process holds something: "id start", where the system tells no start "id". */
export async function markOf(pid: number, processes: Processes): Promise<string> {
  return markIn((await processes.stat(pid)) ?? '') ?? String(pid)
}

/**
 * Id of the process with this mark while it runs; null when it has ended, also when it was not collected yet (it still
 * answers to signals), when its id is by now another process's, and when the text is no mark.
 */
export async function runningWith(mark: string, processes: Processes): Promise<number | null> {
  const [, id, started] = /^([1-9]\d*)(?: (\d+))?\s*$/.exec(mark) ?? []
  if (id === undefined || !answers(Number(id), processes)) return null
  const stat = await processes.stat(Number(id))
  if (stat === null) return Number(id)
  const now = markIn(stat)
  return now === null || (started !== undefined && now !== `${id} ${started}`) ? null : Number(id)
}

function answers(pid: number, processes: Processes): boolean {
  try {
    processes.signal(pid)
    return true
  } catch (error) {
    return (error as { code?: string }).code === 'EPERM'
  }
}

/**
 * "id start" out of a `stat` file: fields 1 (id), 3 (state) and 22 (start in clock ticks since boot) of proc(5); the name
 * in field 2 may hold blanks and brackets. Null in state Z or X, ended and not collected.
 */
function markIn(stat: string): string | null {
  const [, id, rest] = /^(\d+) \(.*\) (.*)/s.exec(stat) ?? []
  const fields = rest?.split(' ') ?? []
  const started = fields[19]
  return id === undefined || started === undefined || /[ZXx]/.test(fields[0] ?? '') ? null : `${id} ${started}`
}
