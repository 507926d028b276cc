import { isDeepStrictEqual } from 'node:util'
import type { ChannelColumn } from '../../lib/store-codec/block.ts'
import { msOf, TICKS_PER_MS, ticksOf } from '../../lib/store-codec/times.ts'
import type { Side } from '../../shared/sample.ts'
import type { Envelope, HistorySeries, ZoneHistory } from '../../shared/schemas/history.ts'
import type { ZoneRole } from '../zone-roles.ts'
import { Bins } from './bins.ts'
import { type BucketWidth, bucketWidth, rollUpWidth } from './bucket-width.ts'
import type { ChunkSource } from './chunk-source.ts'
import { type Database, iterated, prepared } from './driver.ts'
import { isGood, type ZoneScales } from './revision-scales.ts'
import { type RevisionTable, zoneIn } from './revision-table.ts'
import { ROLL_UP_LEVELS } from './roll-up.ts'
import { type ChannelStretch, channelsOf, type RoleChannels } from './zone-channels.ts'

export interface HistoryQuery {
  readonly db: Database
  readonly revisions: RevisionTable
  readonly chunks: ChunkSource
  readonly zone: string
  readonly fromMs: number
  readonly toMs: number
  /** Most rows of the answer. */
  readonly points: number
}

const MINUTE_MS = 60_000

/** Envelopes of a zone over a range; undefined when no revision ever had the zone. */
export function readHistory(query: HistoryQuery): ZoneHistory | undefined {
  const { revisions, zone, fromMs, toMs } = query
  const scales = revisions.newestOf(zone)
  if (scales === undefined) return undefined
  const roles = channelsOf(revisions, zone, fromMs, toMs)
  const kept = keptOf(query, roles)
  const rows = rowsOf(query, roles, kept)
  const binned = new Map([...roles].map(([role, own]) => [role, binsOf(query, rows, own.stretches)] as const))
  return {
    zone,
    fromMs,
    toMs,
    bucketMs: rows.bucketMs,
    source: rows.level === null ? 'samples' : 'roll-up',
    timesMs: rows.timesMs,
    series: {
      ...Object.fromEntries([...roles].map(([role, { unit }]) => [role, binned.get(role)?.envelope(unit)])),
      ...derivedSeries(query, rows, binned, scales),
    },
    revisions: revisions.inRange(fromMs, toMs).map(({ fromMs: timeMs, revision }) => ({ timeMs, revision })),
    clockSteps: clockSteps(query),
    keptFromMs: kept?.firstMs ?? null,
    keptToMs: kept?.lastMs ?? null,
  }
}

// --- which rows ----------------------------------------------------------------

interface Rows extends BucketWidth {
  readonly timesMs: number[]
  /** Row of a time; outside it is negative or too large. */
  readonly indexOf: (tick: number) => number
}

interface Kept {
  readonly firstMs: number
  readonly lastMs: number
  /** Of the samples themselves; null where only roll-ups are left. */
  readonly samplesFromMs: number | null
}

function rowsOf(query: HistoryQuery, roles: ReadonlyMap<ZoneRole, RoleChannels>, kept: Kept | undefined): Rows {
  const { fromMs, toMs, points } = query
  const width = bucketWidth(toMs - fromMs, points)
  if (width.level !== null) return evenRows(query, width)
  const samplesFromMs = kept?.samplesFromMs ?? Number.POSITIVE_INFINITY
  const isOlder = kept !== undefined && kept.firstMs < samplesFromMs - 2 * ROLL_UP_LEVELS[0] * 1000
  if (isOlder && fromMs < samplesFromMs) return evenRows(query, rollUpWidth(0))
  const single = singleRows(query, roles)
  return single ?? evenRows(query, width)
}

function evenRows({ fromMs, toMs }: HistoryQuery, width: BucketWidth): Rows {
  const { bucketMs } = width
  const first = Math.floor(fromMs / bucketMs)
  const count = Math.ceil(toMs / bucketMs) - first
  return {
    ...width,
    timesMs: Array.from({ length: count }, (_, i) => (first + i) * bucketMs),
    indexOf: (tick) => Math.floor(tick / (bucketMs * TICKS_PER_MS)) - first,
  }
}

/** A row a sample; undefined when that would be too many. */
function singleRows(query: HistoryQuery, roles: ReadonlyMap<ZoneRole, RoleChannels>): Rows | undefined {
  const { chunks, points } = query
  const stretches = [...roles.values()].flatMap((role) => role.stretches)
  const counts = stretches.map(({ channel, fromMs, toMs }) => chunks.count(channel, ticksOf(fromMs), ticksOf(toMs)))
  // Chunks that reach out of the range are counted whole; twice as many may turn out to be few enough.
  if (Math.max(0, ...counts) > 2 * points + 20_000) return undefined
  const ticks = new Set<number>()
  for (const { channel, fromMs, toMs } of stretches)
    for (const column of chunks.columns(channel, ticksOf(fromMs), ticksOf(toMs)))
      for (const tick of column.ticks) ticks.add(tick)
  if (ticks.size > points) return undefined
  const sorted = [...ticks].sort((a, b) => a - b)
  const index = new Map(sorted.map((tick, i) => [tick, i]))
  return { level: null, bucketMs: 0, timesMs: sorted.map(msOf), indexOf: (tick) => index.get(tick) ?? -1 }
}

function keptOf(
  { db, revisions, chunks, zone }: HistoryQuery,
  inRange: ReadonlyMap<ZoneRole, RoleChannels>,
): Kept | undefined {
  const ever = [...inRange.values(), ...channelsOf(revisions, zone, 0, Number.MAX_SAFE_INTEGER).values()]
  const channels = new Set(ever.flatMap(({ stretches }) => stretches.map(({ channel }) => channel)))
  const first: number[] = []
  const last: number[] = []
  const samples: number[] = []
  const [level] = ROLL_UP_LEVELS
  for (const channel of channels) {
    const full = chunks.kept(channel)
    if (full !== undefined) {
      samples.push(msOf(full.first))
      first.push(msOf(full.first))
      last.push(msOf(full.last))
    }
    const row = prepared(
      db,
      // One by one each is a look at the index; together they would read every row.
      `SELECT (SELECT min(t) FROM rollup WHERE level = :level AND channel = :channel) AS first,
        (SELECT max(t) FROM rollup WHERE level = :level AND channel = :channel) AS last`,
    ).get({ level, channel }) as { first: number | null; last: number | null }
    if (row.first !== null) first.push(row.first * 1000)
    if (row.last !== null && full === undefined) last.push((row.last + level) * 1000)
  }
  if (first.length === 0) return undefined
  return {
    firstMs: Math.min(...first),
    lastMs: Math.max(...last),
    samplesFromMs: samples.length === 0 ? null : Math.min(...samples),
  }
}

// --- what stands in them ---------------------------------------------------------

function binsOf(query: HistoryQuery, rows: Rows, stretches: readonly ChannelStretch[]): Bins {
  const bins = new Bins(rows.timesMs.length)
  for (const stretch of stretches)
    if (rows.level === null) addSamples(query, rows, bins, stretch)
    else addRollUps(query, rows, bins, stretch, rows.level)
  return bins
}

function addSamples({ chunks, revisions }: HistoryQuery, rows: Rows, bins: Bins, stretch: ChannelStretch): void {
  for (const column of chunks.columns(stretch.channel, ticksOf(stretch.fromMs), ticksOf(stretch.toMs)))
    addColumn(revisions, rows, bins, column)
}

function addColumn(revisions: RevisionTable, rows: Rows, bins: Bins, column: ChannelColumn): void {
  const valueAt = revisions.siValue(column.channel, column.revision)
  const { ticks, raws, codes } = column
  for (let i = 0; i < ticks.length; i++) {
    const code = codes[i] ?? 0
    const value = isGood(code) ? valueAt(raws[i] ?? Number.NaN, code) : Number.NaN
    if (Number.isFinite(value)) bins.add(rows.indexOf(ticks[i] ?? 0), value)
  }
}

/**
 * Binned by SQL; what is not rolled up yet is added from the tail. Where a revision cut the stretch, its channel went on
 * in another role or came from one: no roll-up that reaches over the cut is taken for either.
 */
function addRollUps(query: HistoryQuery, rows: Rows, bins: Bins, stretch: ChannelStretch, level: number): void {
  const { pieces, fromMs, toMs } = piecesOf(query, stretch, level)
  for (const piece of pieces) addPiece(query, rows, bins, stretch.channel, piece)
  const { channel } = stretch
  addTail(query, rows, bins, { channel, fromMs, toMs })
  if (fromMs > stretch.fromMs) addSamples(query, rows, bins, { ...stretch, toMs: Math.min(fromMs, stretch.toMs) })
  if (toMs < stretch.toMs) addSamples(query, rows, bins, { ...stretch, fromMs: Math.max(fromMs, toMs) })
}

/** Roll-ups of one width, seconds since 1970. */
interface Piece {
  readonly level: number
  readonly from: number
  readonly to: number
}

/** The widest roll-ups within a stretch, the finest beside a cut; from and to what time they reach, short of it by less than one. */
function piecesOf(query: HistoryQuery, { fromMs, toMs }: ChannelStretch, level: number) {
  const [finest] = ROLL_UP_LEVELS
  const onGrid = (round: (x: number) => number, seconds: number, width: number) => round(seconds / width) * width
  const isCutFirst = fromMs > query.fromMs
  const isCutLast = toMs < query.toMs
  const from = isCutFirst ? onGrid(Math.ceil, fromMs / 1000, finest) : onGrid(Math.floor, fromMs / 1000, level)
  const to = isCutLast ? onGrid(Math.floor, toMs / 1000, finest) : Math.ceil(toMs / 1000)
  const wideFrom = isCutFirst ? Math.min(to, onGrid(Math.ceil, from, level)) : from
  const wideTo = isCutLast ? Math.max(wideFrom, onGrid(Math.floor, to, level)) : to
  const pieces: Piece[] = [
    { level: finest, from, to: wideFrom },
    { level, from: wideFrom, to: wideTo },
    { level: finest, from: wideTo, to },
  ]
  return {
    pieces: pieces.filter((piece) => piece.from < piece.to),
    fromMs: isCutFirst ? from * 1000 : fromMs,
    toMs: isCutLast ? to * 1000 : toMs,
  }
}

function addPiece({ db }: HistoryQuery, rows: Rows, bins: Bins, channel: number, { level, from, to }: Piece): void {
  const first = (rows.timesMs[0] ?? 0) / rows.bucketMs
  const found = iterated<{ bucket: number; n: number; min: number; max: number; sum: number }>(
    db,
    `SELECT t / :bucket AS bucket, sum(n) AS n, min(min) AS min, max(max) AS max, sum(sum) AS sum FROM rollup
      WHERE level = :level AND channel = :channel AND t >= :from AND t < :to GROUP BY bucket`,
    { bucket: rows.bucketMs / 1000, level, channel, from, to },
  )
  for (const { bucket, n, min, max, sum } of found) bins.merge(bucket - first, n, min, max, sum)
}

function addTail({ chunks, revisions }: HistoryQuery, rows: Rows, bins: Bins, stretch: ChannelStretch): void {
  for (const column of chunks.tail(stretch.channel, ticksOf(stretch.fromMs), ticksOf(stretch.toMs)))
    addColumn(revisions, rows, bins, column)
}

// --- what follows from both sides --------------------------------------------------

type Derived = Partial<Record<HistorySeries, Envelope>>

/**
 * Total, side difference and residual: from the minutes where a row is a minute or more; else total and side difference
 * out of the means of the row, where both sides have good samples.
 */
function derivedSeries(
  query: HistoryQuery,
  rows: Rows,
  binned: ReadonlyMap<ZoneRole, Bins>,
  scales: ZoneScales,
): Derived {
  const total = new Bins(rows.timesMs.length)
  const imbalance = new Bins(rows.timesMs.length)
  const residual = new Bins(rows.timesMs.length)
  if (rows.bucketMs >= MINUTE_MS) addMinutes(query, rows, { total, imbalance, residual })
  for (const stretch of scalesInForce(query)) addFromSides(rows, binned, stretch, { total, imbalance })
  return {
    total: total.envelope('N'),
    ...(sidesOf(scales).length === 2 ? { imbalance: imbalance.envelope('%') } : {}),
    ...(scales.zone.geometry === undefined ? {} : { residual: residual.envelope('%') }),
  }
}

const sidesOf = ({ zone }: ZoneScales): Side[] => Object.keys(zone.cells) as Side[]

/** A stretch of time in which one thing was to be made of a zone's sides. */
interface ScalesInForce {
  readonly fromMs: number
  readonly toMs: number
  readonly scales: ZoneScales
}

/** What each row is read by: what was in force then, never what is in force now. Revisions that change none of it are one. */
function scalesInForce({ revisions, zone, fromMs, toMs }: HistoryQuery): ScalesInForce[] {
  const stretches: ScalesInForce[] = []
  for (const [i, revision] of revisions.inRange(fromMs, toMs).entries()) {
    const scales = zoneIn(revision.scales, zone)
    if (scales === undefined) continue
    const last = stretches.at(-1)
    const from = i === 0 ? Number.NEGATIVE_INFINITY : revision.fromMs
    if (last?.toMs === from && isReadAlike(last.scales, scales))
      stretches[stretches.length - 1] = { ...last, toMs: revision.toMs }
    else stretches.push({ fromMs: from, toMs: revision.toMs, scales })
  }
  return stretches
}

const isReadAlike = (a: ZoneScales, b: ZoneScales): boolean =>
  isDeepStrictEqual(
    [sidesOf(a), a.forceFactor, a.totalMeans, a.webMassKgM],
    [sidesOf(b), b.forceFactor, b.totalMeans, b.webMassKgM],
  )

function addMinutes(
  { db, zone, fromMs, toMs }: HistoryQuery,
  rows: Rows,
  bins: Readonly<Record<'total' | 'imbalance' | 'residual', Bins>>,
): void {
  for (const [series, own] of Object.entries(bins)) {
    const found = iterated<{ bucket: number; n: number; min: number; max: number; mean: number }>(
      db,
      `SELECT CAST(t / :bucket AS INTEGER) AS bucket, sum(good) AS n, min(${series}) AS min,
        max(${series}) AS max, avg(${series}) AS mean FROM minute
        WHERE zone = :zone AND t >= :from AND t < :to AND ${series} IS NOT NULL GROUP BY bucket`,
      { bucket: rows.bucketMs, zone, from: Math.floor(fromMs / MINUTE_MS) * MINUTE_MS, to: toMs },
    )
    const first = (rows.timesMs[0] ?? 0) / rows.bucketMs
    for (const row of found) own.merge(row.bucket - first, row.n, row.min, row.max, row.mean * row.n)
  }
}

/** Fills rows that no minute has filled and that lie wholly in the stretch: of two readings of a row neither is its total. */
function addFromSides(
  rows: Rows,
  binned: ReadonlyMap<ZoneRole, Bins>,
  { fromMs, toMs, scales }: ScalesInForce,
  into: Readonly<Record<'total' | 'imbalance', Bins>>,
): void {
  const { forceFactor, webMassKgM, totalMeans } = scales
  if (totalMeans !== 'force' && forceFactor === null) return
  const sides = sidesOf(scales)
  const speed = binned.get('speed')
  for (const [i, startMs] of rows.timesMs.entries()) {
    if (startMs < fromMs || startMs >= toMs || startMs + rows.bucketMs > toMs) continue
    const tensions = sides.map((side) => (binned.get(side)?.mean(i) ?? Number.NaN) / (forceFactor?.[side] ?? 1))
    const sum = tensions.reduce((a, b) => a + b, 0)
    if (!Number.isFinite(sum)) continue
    const n = Math.min(...sides.map((side) => binned.get(side)?.n[i] ?? 0))
    const momentum = webMassKgM === 0 ? 0 : webMassKgM * (speed?.mean(i) ?? Number.NaN) ** 2
    const totals = sum + momentum
    if (into.total.n[i] === 0 && Number.isFinite(totals)) into.total.merge(i, n, totals, totals, totals * n)
    const [drive = 0, operator = 0] = tensions
    const share = (100 * (operator - drive)) / sum
    if (sides.length === 2 && into.imbalance.n[i] === 0 && Number.isFinite(share))
      into.imbalance.merge(i, n, share, share, share * n)
  }
}

function clockSteps({ db, fromMs, toMs }: HistoryQuery): ZoneHistory['clockSteps'] {
  const rows = prepared(
    db,
    "SELECT t, json_extract(data, '$.stepMs') AS step FROM event WHERE kind = 'clock-step' AND t >= ? AND t < ? ORDER BY id",
  ).all(fromMs, toMs) as { t: number; step: number | null }[]
  return rows.flatMap(({ t, step }) => (step === null ? [] : [{ timeMs: t, stepMs: step }]))
}
