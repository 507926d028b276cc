import type { Metadata } from 'next'
import { LiveView } from './_ui/live/LiveView.tsx'

export const metadata: Metadata = { title: 'Live' }

export default function LivePage() {
  return <LiveView />
}
