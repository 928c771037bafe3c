/** The user's own text stands in backticks; here it is set as code. */
export function CodeText({ text }: { text: string }) {
  return (
    <>
      {text.split(/`([^`]*)`/).map((part, i) =>
        i % 2 === 1 ? (
          <code key={i} class="ticked">
            {part}
          </code>
        ) : (
          part
        ),
      )}
    </>
  )
}
