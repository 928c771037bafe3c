// Written by `npm run messages` from the catalogues in messages/.
import type { Texts } from "../message.ts"

export const texts: Texts = {
  jobHasEnded: "Der Auftrag ist beendet.",
  jobHasNotEnded: "Der Auftrag ist noch nicht beendet.",
  noSuchStep: ["Schritt ",["n"]," gibt es nicht."],
  noSuchFault: ["In diesem Regelwerk gibt es keinen Fehler `",["name"],"`."],
  hasBeenAnswered: ["`",["name"],"` ist schon beantwortet: erst die Antwort zurücknehmen."],
  knownGoodIn: ["Das geprüfte Teil `",["part"],"` ist im Gerät."],
  noKnownGoodIn: ["Im Gerät ist kein geprüftes Teil `",["part"],"`."],
  isNotAPart: ["`",["name"],"` ist kein Teil."],
  hasNoFix: ["Das Regelwerk hat keine Abhilfe für `",["fault"],"`."],
  isANumberBetween: ["`",["name"],"` ist eine Zahl von ",["low"]," bis ",["high"],", `",["typed"],"` nicht."],
  isANumberIn: ["`",["name"],"` ist eine Zahl in ",["unit"],", `",["typed"],"` nicht."],
  isOneOf: ["`",["name"],"` ist ",["values"],", nicht `",["typed"],"`."],
  dividesByZero: ["`",["name"],"` lässt sich aus diesen Zahlen nicht berechnen: Es würde durch null geteilt."],
  oneValueForEach: ["Für jedes davon einen Wert angeben: ",["names"],"."],
  answerToLook: ["Nach ",["what"]," lautet die Antwort `weg` oder `bleibt`."],
  answerToProof: ["Nach ",["what"]," lautet die Antwort `hält` oder `hält nicht`."],
  answerDone: ["Nach ",["what"]," lautet die Antwort `erledigt`."],
  proofWouldNotHold: "der Probelauf würde nicht bestehen",
  proofWouldNotFail: "der Probelauf würde nicht scheitern",
  complaintWouldNotGo: "die Beanstandung wäre nicht weg",
  complaintWouldNotStay: "die Beanstandung würde nicht bleiben",
  neverShows: ["das zeigt sich dabei nie: ",["what"]],
  findingsCannotBe: "Befunde, die nicht sein können",
  ruleAtLine: [["because"]," (Zeile ",["line"],")"],
}
