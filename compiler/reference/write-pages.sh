#!/usr/bin/env bash
# Writes api/, the pages about the types of the library, from the docstrings of what `npm run build` made. TypeDoc needs the
# API of TypeScript 5, which TypeScript 7 has no longer: so both are fetched for this run, and are no dependencies.
set -euo pipefail
cd "$(dirname "$0")/../.."
built=$PWD/dist
tools=$(mktemp -d)
trap 'rm -rf "$tools"' EXIT
npm install --prefix "$tools" --no-audit --no-fund --silent typedoc@0.28.20 typedoc-plugin-markdown@4.14.1 typescript@5.9.3
entry() { echo "export * from \"$built/$2.js\"" > "$tools/$1.ts"; }
entry compile compile
entry run run/index
entry ship ship/index
entry verify ship/verify
entry service service/index
cat > "$tools/tsconfig.json" <<EOF
{ "compilerOptions": { "module": "nodenext", "target": "es2022", "lib": ["ES2023", "DOM"], "types": [], "skipLibCheck": true },
  "include": ["*.ts"] }
EOF
cd "$tools"
node_modules/.bin/typedoc --plugin typedoc-plugin-markdown --entryPoints '*.ts' --out "$OLDPWD/compiler/reference/api" \
  --readme none --disableSources --outputFileStrategy modules --flattenOutputFiles \
  --hideBreadcrumbs --hidePageHeader --name "Types of the library" --disableGit --sort source-order \
  --treatWarningsAsErrors --logLevel Warn
cd "$OLDPWD" && npx biome format --write --log-level=error compiler/reference/api
