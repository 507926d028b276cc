import { useSyncExternalStore } from 'react'
import { ERROR_CATALOGUE } from '../../../shared/errors.ts'
import type { Role } from '../../../shared/roles.ts'
import { type SessionView, sessionView } from '../../../shared/schemas/access.ts'
import { keepVerbatim } from '../../_language/current.ts'
import { type Answer, askNow, type Failure } from '../ask-now.ts'

/** What this page knows of who uses it. */
export interface SessionState {
  /** null: the gateway has not said yet. */
  readonly view: SessionView | null
  /** Who was logged in before; null: nobody since this page was loaded. */
  readonly before: string | null
}

const PATH = '/api/session'
const ASK_AGAIN_MS = 2000
/** Using the page keeps a session from idling; the gateway is told so at most this often. */
const STILL_HERE_MS = 60_000

let state: SessionState = { view: null, before: null }
let hasStarted = false
let asking: Promise<void> | null = null
const listeners = new Set<() => void>()

/** Nobody has to log in here, or somebody has. */
export const isLetIn = ({ view }: SessionState): boolean =>
  view !== null && (view.login === 'off' || view.user !== null)

function take(view: SessionView): void {
  const leaving = state.view?.user?.name
  keepVerbatim([view.user?.name])
  state = { view, before: view.user?.name ?? leaving ?? state.before }
  for (const listener of listeners) listener()
}

function start(): void {
  if (hasStarted) return
  hasStarted = true
  void refreshSession()
  let saidMs = performance.now()
  const stillHere = () => {
    if (state.view?.user == null || performance.now() - saidMs < STILL_HERE_MS) return
    saidMs = performance.now()
    void refreshSession()
  }
  addEventListener('pointerdown', stillHere)
  addEventListener('keydown', stillHere)
}

/** Asks the gateway who is logged in; as long as it has never said, again and again. */
export function refreshSession(): Promise<void> {
  asking ??= askNow(PATH, sessionView).then((answer) => {
    asking = null
    if (answer.ok) take(answer.value)
    else if (state.view === null) setTimeout(() => void refreshSession(), ASK_AGAIN_MS)
  })
  return asking
}

export function onSession(listener: () => void): () => void {
  start()
  listeners.add(listener)
  return () => listeners.delete(listener)
}

export const sessionNow = (): SessionState => state

/** Resolves as soon as the gateway would answer more than who is logged in. */
export function whenLetIn(): Promise<void> {
  start()
  if (isLetIn(state)) return Promise.resolve()
  return new Promise((resolve) => {
    const stop = onSession(() => {
      if (!isLetIn(state)) return
      stop()
      resolve()
    })
  })
}

/** null: logged in. */
export async function logIn(name: string, password: string): Promise<Failure | null> {
  return taken(await askNow(PATH, sessionView, { method: 'POST', body: { name, password } }))
}

/** null: changed; every other session of his has ended. */
export async function changePassword(present: string, password: string): Promise<Failure | null> {
  return taken(await askNow(`${PATH}/password`, sessionView, { method: 'PUT', body: { present, password } }))
}

export async function logOut(): Promise<Failure | null> {
  return taken(await askNow(PATH, sessionView, { method: 'DELETE' }))
}

function taken(answer: Answer<SessionView>): Failure | null {
  if (!answer.ok) return answer.failure
  take(answer.value)
  return null
}

// --- for React ---------------------------------------------------------------

const NOT_YET: SessionState = { view: null, before: null }

export function useSession(): SessionState {
  return useSyncExternalStore(
    onSession,
    () => state,
    () => NOT_YET,
  )
}

/** Why whoever uses this page may not do what needs a role; null when he may, or when nobody knows yet. */
export function useHindrance(needs: Exclude<Role, 'view'>): string | null {
  const { view } = useSession()
  const user = view?.user ?? null
  if (user === null || user.role === 'engineer' || user.role === needs) return null
  return `${user.name} may ${user.role === 'view' ? 'look' : 'operate'}; this needs the role ${needs}. ${ERROR_CATALOGUE.EVP_ROLE}`
}
