/** How actions and entries of the log are worded at the bench: as the terminal words them. */
export { actTitle, effectsOf, entryText, kindOfAct, readingsOf } from "../../compiler/ship/act-labels.ts"
