#!/bin/sh
# Makes solid.min.js anew from solid.source.js, with the libraries in the versions below, and keeps three.js's licence
# beside it. Needs node and npm, and the network; works in a folder of its own. Run it after a change of either.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
aside=$(mktemp -d)
trap 'rm -rf "$aside"' EXIT
cd "$aside"
npm install --silent --no-save --no-audit --no-fund three@0.187.0 esbuild@0.28.2
cp "$here/solid.source.js" source.js
node_modules/.bin/esbuild source.js --bundle --minify --format=iife --global-name=Solid --target=es2020 \
  --charset=ascii --legal-comments=none --log-level=warning \
  --banner:js="/*! three.js 0.187.0, MIT licence, see solid.licence.txt */" --outfile="$here/solid.min.js"
cp node_modules/three/LICENSE "$here/solid.licence.txt"
