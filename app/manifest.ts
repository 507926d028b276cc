import type { MetadataRoute } from 'next'

export const dynamic = 'force-static'

/** What lets a tablet keep the page as an app of its own, without a browser's bars. */
export default function manifest(): MetadataRoute.Manifest {
  return {
    name: 'Evenpull',
    short_name: 'Evenpull',
    description: 'Both ends of a measuring roller, live.',
    start_url: '/',
    scope: '/',
    display: 'standalone',
    background_color: '#131619',
    theme_color: '#131619',
    icons: [
      { src: '/icon.svg', sizes: 'any', type: 'image/svg+xml' },
      { src: '/apple-icon.png', sizes: '180x180', type: 'image/png' },
      { src: '/icon1.png', sizes: '512x512', type: 'image/png' },
      { src: '/icon1.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
    ],
  }
}
