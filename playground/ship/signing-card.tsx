import { useSignal } from "@preact/signals"
import { KeyError } from "../../compiler/ship/verify.ts"
import { saveFile } from "../actions/files.ts"
import { makeKey, signing, useKey } from "./signing.ts"

const PEM_TYPE = "application/x-pem-file"

/** Whose graph it is: signed with a key that stays with its owner. */
export function SigningCard() {
  const problem = useSignal("")
  const used = signing.value
  const take = async (pem: Promise<string>) => {
    problem.value = ""
    try {
      await useKey(await pem)
    } catch (error) {
      const isPlain = error instanceof KeyError
      problem.value = isPlain ? error.message : "This browser can't sign with Ed25519 keys."
    }
  }
  const make = async () => {
    const pem = makeKey()
    await take(pem)
    if (problem.value === "") saveFile("ruleout.key", await pem, PEM_TYPE)
  }
  return (
    <section class="card" aria-labelledby="signing-title">
      <h2 id="signing-title">Sign it</h2>
      <p class="small quiet">
        Whoever has your public key can check that a graph, a page or a module comes from you and wasn't
        changed. The private key stays in your file: this page forgets it when it is closed.
      </p>
      <div class="row">
        <label class="field">
          Private key (Ed25519, PEM)
          <input
            type="file"
            accept=".key,.pem"
            onChange={({ currentTarget: { files } }) => files?.[0] && take(files[0].text())}
          />
        </label>
        <button type="button" onClick={make}>
          Make a new key
        </button>
        {used && <InUse />}
      </div>
      <p role="status" class={problem.value === "" ? "small" : "warned"}>
        {problem.value || (used ? "✓ What you save from here on is signed." : "")}
      </p>
    </section>
  )
}

function InUse() {
  const used = signing.value
  if (!used) return null
  return (
    <>
      <label class="field">
        Not to be used from this day on
        <input
          type="date"
          value={used.expires}
          onChange={({ currentTarget: { value } }) => {
            signing.value = { ...used, expires: value }
          }}
        />
      </label>
      <button type="button" onClick={() => saveFile("ruleout.pub", used.publicPem, PEM_TYPE)}>
        Save the public key
      </button>
      <button
        type="button"
        onClick={() => {
          signing.value = undefined
        }}
      >
        Don't sign
      </button>
    </>
  )
}
