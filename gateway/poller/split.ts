import { joinNeighbours, type Placed, togetherByPairs } from './merge.ts'
import type { DevicePlan, PlannedItem, PlannedRequest } from './types.ts'

/** A part of a planned request that is asked by itself, and where its words belong in the whole. */
export interface RequestPart {
  readonly request: PlannedRequest
  /** Offset of the part's first word in the planned request. */
  readonly at: number
}

/**
 * A refused Modbus request as the next smaller requests, or null when nothing is left to take apart.
 *
 * A device answers exception 02 (illegal data address) when any one register of a request does
 * not exist, so what was merged is undone step by step: first the gaps (registers nobody asked
 * for) are left out; a run without gaps is taken apart into zone pairs and single values; a pair
 * only when it was refused by itself. Every channel is in exactly one part; no part is larger
 * than the request.
 *
 * Source: exception codes, Modbus Application Protocol V1.1b3 §7.
 */
export function splitRequest(request: PlannedRequest, pairs: DevicePlan['pairs']): RequestPart[] | null {
  if (request.address === null) return null
  const items = request.items.map(placeItem)
  const together = togetherByPairs(items, pairs, request.count)
  const withoutGaps = joinNeighbours(together, { gap: 0, count: request.count })
  const groups = withoutGaps.length > 1 ? withoutGaps : together.length > 1 ? together : items.map((item) => [item])
  return groups.length > 1 ? groups.map((group) => partOf(request, group)) : null
}

interface PlacedItem extends Placed {
  readonly item: PlannedItem
}

function placeItem(item: PlannedItem): PlacedItem {
  return { id: item.channelId, start: item.offset, end: item.offset + item.words, item }
}

function partOf(request: PlannedRequest, group: readonly PlacedItem[]): RequestPart {
  const at = Math.min(...group.map(({ start }) => start))
  const end = Math.max(...group.map((placed) => placed.end))
  return {
    at,
    request: {
      ...request,
      address: (request.address ?? 0) + at,
      count: end - at,
      items: group.map(({ item }) => ({ ...item, offset: item.offset - at })),
    },
  }
}
