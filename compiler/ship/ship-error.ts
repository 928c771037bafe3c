/** A graph that cannot be written in the wanted form. The message is for whoever ships it. */
export class ShipError extends Error {
  override readonly name = "ShipError"
}
