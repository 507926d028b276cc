/** Longest edge of a kept photo, px, and how hard it is packed: a plate can be read, and it stays well under the limit. */
const LONGEST_PX = 1600
const QUALITY = 0.8

/** A picture file as base64 JPEG of a size that is kept. Rejects for a file that this browser cannot show. */
export async function shrinkPhoto(file: Blob): Promise<{ readonly mediaType: 'image/jpeg'; readonly data: string }> {
  const bitmap = await createImageBitmap(file)
  const scale = Math.min(1, LONGEST_PX / Math.max(bitmap.width, bitmap.height))
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(1, Math.round(bitmap.width * scale))
  canvas.height = Math.max(1, Math.round(bitmap.height * scale))
  canvas.getContext('2d')?.drawImage(bitmap, 0, 0, canvas.width, canvas.height)
  bitmap.close()
  const url = canvas.toDataURL('image/jpeg', QUALITY)
  return { mediaType: 'image/jpeg', data: url.slice(url.indexOf(',') + 1) }
}
