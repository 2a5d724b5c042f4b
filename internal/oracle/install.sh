#!/usr/bin/env bash
# install.sh: what the oracles outside Go need. Debian packages where a command is
# missing; HL7's validation engine and a FHIR server, compiled; the npm packages of
# node/package-lock.json. Everything lands under ${XDG_CACHE_HOME:-~/.cache}/cotline-oracle,
# in folders named by the hash of what they were made from, so that a second call
# does nothing and a change makes a new one.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
cache="${XDG_CACHE_HOME:-$HOME/.cache}/cotline-oracle"
mkdir -p "$cache"
exec 9>"$cache/lock"
flock 9 # two test runs at once must not build into one folder

missing=()
need() { command -v "$1" >/dev/null || missing+=("${@:2}"); }
need javac default-jdk-headless
need mvn maven
need curl curl
need node nodejs
need npm npm
if [ ${#missing[@]} -gt 0 ]; then
  apt-get -qq update
  DEBIAN_FRONTEND=noninteractive apt-get -qq install -y --no-install-recommends "${missing[@]}" >/dev/null
fi

# made NAME FILE…: the folder of what is made from these files
made() { echo "$cache/$1-$(cd "$here/$1" && cat "${@:2}" | sha256sum | cut -c1-12)"; }

java_program() { # java_program NAME CLASS
  local to
  to=$(made "$1" pom.xml "$2.java")
  [ -e "$to/done" ] && return
  rm -rf "$to"
  mkdir -p "$to/classes"
  mvn -q -B -f "$here/$1/pom.xml" -Dmaven.repo.local="$cache/m2" \
    org.apache.maven.plugins:maven-dependency-plugin:3.8.1:build-classpath -Dmdep.outputFile="$to/classpath"
  javac -nowarn --release 17 -cp "$(cat "$to/classpath")" -d "$to/classes" "$here/$1/$2.java"
  # The engine reads this list of 1.5 MB for every call; an empty one before it on
  # the class path changes nothing that it says and makes it three times as fast.
  touch "$to/classes/oidregistry.csv" "$to/done"
}

node_packages() {
  local to
  to=$(made node package.json package-lock.json)
  [ -e "$to/done" ] && return
  rm -rf "$to"
  mkdir -p "$to"
  cp "$here/node/package.json" "$here/node/package-lock.json" "$to/"
  npm ci --prefix "$to" --ignore-scripts --no-audit --no-fund --loglevel=error
  touch "$to/done"
}

java_program validator Validate
java_program server Server
node_packages
