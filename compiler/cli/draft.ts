export async function draftFrom(
  _file: string,
  _weight: number,
  _digits: number,
): Promise<{ text: string; notes: string[] }> {
  return { text: "", notes: [] }
}
