import PictureIcon from "lucide/dist/esm/icons/image-plus.mjs"
import { addPictures, PICTURE_KINDS, removePicture } from "../actions/pictures.ts"
import { pathsOfPictures } from "../state/project.ts"
import { project } from "../state/state.ts"
import { Icon } from "../ui/icon.tsx"

/** The pictures of the ruleset, and how one is added. */
export function PictureList() {
  const paths = pathsOfPictures(project.value).sort()
  return (
    <>
      <label class="tool button">
        <Icon of={PictureIcon} />
        Add picture…
        <input
          type="file"
          class="unseen"
          multiple
          accept={PICTURE_KINDS.join(",")}
          onChange={({ currentTarget }) => {
            void addPictures([...(currentTarget.files ?? [])])
            currentTarget.value = ""
          }}
        />
      </label>
      {paths.length > 0 && (
        <details class="picture-list">
          <summary class="tool">Pictures ({paths.length})</summary>
          <ul>
            {paths.map((path) => (
              <li key={path} class="row">
                <span class="grow">{path}</span>
                <button type="button" aria-label={`Remove ${path}`} onClick={() => removePicture(path)}>
                  Remove
                </button>
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  )
}
