import type { Metadata } from 'next'
import { FiguresHelp } from './FiguresHelp.tsx'

export const metadata: Metadata = { title: 'Help: how each number is got' }

export default function FiguresPage() {
  return <FiguresHelp />
}
