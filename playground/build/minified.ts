import { minify } from "terser"

/** Nothing of ours asks how many parameters a function has, or calls a method with `new`. */
export async function minified(code: string, module: boolean): Promise<string> {
  const { code: small } = await minify(code, {
    module,
    ecma: 2020,
    compress: { passes: 5, keep_fargs: false, pure_getters: true, unsafe_arrows: true, unsafe_methods: true },
  })
  if (small === undefined) throw new Error("nothing came out of the minifier")
  return small
}
