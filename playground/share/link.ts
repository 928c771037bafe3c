/** With what the fragment of a shared link begins: the version of its form. */
export const LINK = "r1."

/** Whether the fragment of an address, with its `#`, has a ruleset in it. */
export const isSharedLink = (fragment: string) => fragment.startsWith(`#${LINK}`)
