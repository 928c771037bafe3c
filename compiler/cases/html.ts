import type { Report } from "./report.ts"
export function reportPage(report: Report): string {
  return report.money
}
