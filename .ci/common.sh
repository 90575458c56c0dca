# Shared by run and long: a clean copy of the project and the README's own commands.

say() { printf '\n== %s\n' "$*"; }

skipped=()
skip() { skipped+=("$*"); printf 'skipped: %s\n' "$*"; }

# The one `$ ` line of the README that holds the given word, without its `$ `.
readme_command() {
    local line
    line=$(grep -m1 "^\$ .*$1" README.md) || { echo "README.md has no command with $1" >&2; exit 1; }
    printf '%s\n' "${line#\$ }"
}

# Copies what git tracks (or, outside git, everything) to a temporary folder and goes there.
enter_clean_copy() {
    local project
    project=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
    workshop=$(mktemp -d)
    trap 'rm -rf "$workshop"' EXIT
    if git -C "$project" rev-parse --is-inside-work-tree >/dev/null 2>&1; then
        (cd "$project" && git ls-files -z | while IFS= read -r -d '' file; do
            if [ -e "$file" ]; then printf '%s\0' "$file"; fi
        done | tar --null -T - -cf -) | tar -xf - -C "$workshop"
    else
        cp -a "$project/." "$workshop"
    fi
    cd "$workshop"
    # Settings of whoever runs this must not reach the checks.
    unset PYTHONPATH PYTHONHOME PYTHONSTARTUP PYTEST_ADDOPTS VIRTUAL_ENV
    # Without bytecode every process that the suite starts would compile the whole package anew.
    unset PYTHONDONTWRITEBYTECODE PYTHONPYCACHEPREFIX
    export PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_NO_INPUT=1
}

# Installs a Debian package when a program is missing; without root it says so and goes on.
need() {
    local program=$1 package=$2
    if command -v "$program" >/dev/null 2>&1; then return 0; fi
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
        apt-get install -y -q "$package" >/dev/null 2>&1 ||
            { apt-get update -q && apt-get install -y -q "$package"; } >/dev/null 2>&1 || true
    fi
    command -v "$program" >/dev/null 2>&1 || skip "$package could not be installed"
}

# Everything of the README's test command before its last step: it makes .venv.
install_as_the_readme_says() {
    local command
    command=$(readme_command pytest)
    eval "${command% && *}"
}

# Two readers of calendars that are written in another language; tests skip what is not here.
fetch_readers_of_calendars() {
    if command -v npm >/dev/null 2>&1 && npm install --silent --no-audit --no-fund \
        --prefix "$PWD/.readers" ical.js@2.2.1 node-ical@0.26.1 >/dev/null 2>&1; then
        export READINESS_NODE_MODULES=$PWD/.readers
    else
        skip "ical.js and node-ical: npm is not here, or could not fetch them"
    fi
}

say_what_the_machine_lacks() {
    if [ -z "${READINESS_BENCH_DATA:-}" ]; then
        skip "critical paths of the .sm files: READINESS_BENCH_DATA names no folder"
    fi
    command -v chromium >/dev/null || skip "pages in a browser: there is no chromium"
    .venv/bin/python -c "import weasyprint" 2>/dev/null || skip "pages as PDF and picture: there is no Pango"
    if [ -z "${READINESS_AXE:-}" ]; then
        skip "accessibility of pages: READINESS_AXE names no axe.min.js"
    fi
}

closing_words() {
    say "skipped here"
    if [ ${#skipped[@]} = 0 ]; then echo "nothing"; else printf -- '- %s\n' "${skipped[@]}"; fi
    printf '\n%s took %d min %d s\n' "$1" $((SECONDS / 60)) $((SECONDS % 60))
}
