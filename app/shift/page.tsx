import type { Metadata } from 'next'
import { ShiftView } from './ShiftView.tsx'

export const metadata: Metadata = { title: 'Shift' }

export default function ShiftPage() {
  return <ShiftView />
}
