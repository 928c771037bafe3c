import type { ComponentType } from "preact"
import { useEffect, useState } from "preact/hooks"

type Load = () => Promise<ComponentType>

interface Props {
  /** Always the same function for the same part. */
  readonly load: Load
  readonly name: string
}

/** What has been fetched is there at once the next time. */
const loaded = new Map<Load, ComponentType>()

/** A part of the page whose code is fetched when it is first shown. */
export function Lazy({ load, name }: Props) {
  const [, redraw] = useState(0)
  const [failed, setFailed] = useState(false)
  useEffect(() => {
    if (loaded.has(load)) return
    setFailed(false)
    load().then(
      (part) => {
        loaded.set(load, part)
        redraw((n) => n + 1)
      },
      () => setFailed(true),
    )
  }, [load])
  const Part = loaded.get(load)
  if (Part) return <Part />
  return failed ? (
    <p class="empty" role="alert">
      Couldn't load this part of the page. Check the connection and reload. Your work is saved.
    </p>
  ) : (
    <p class="empty quiet" role="status">
      Loading {name}…
    </p>
  )
}
