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

closing_words() {
    say "skipped here"
    if [ ${#skipped[@]} = 0 ]; then echo "nothing"; else printf -- '- %s\n' "${skipped[@]}"; fi
    printf '\n%s took %d min %d s\n' "$1" $((SECONDS / 60)) $((SECONDS % 60))
}
