import type { Metadata } from 'next'
import { GeometryView } from './GeometryView.tsx'

export const metadata: Metadata = { title: 'Geometry' }

export default function GeometryPage() {
  return <GeometryView />
}
