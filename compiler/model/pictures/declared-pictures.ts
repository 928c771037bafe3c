import type { CautionTree, PictureTree } from "../../syntax/syntax-tree.ts"

/** The pictures of a declaration in the order of the graph: its own, then those of its cautions. */
export function declaredPictures(
  own: readonly PictureTree[],
  cautions: readonly Pick<CautionTree, "pictures">[] = [],
): { readonly tree: PictureTree; readonly caution?: number }[] {
  return [
    ...own.map((tree) => ({ tree })),
    ...cautions.flatMap(({ pictures }, caution) => pictures.map((tree) => ({ tree, caution }))),
  ]
}
