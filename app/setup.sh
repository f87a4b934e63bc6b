# shellcheck shell=bash disable=SC2034
# Sourced by app/start, tests/run and .ci/run: the Debian packages, and configure and build without needless work.
# Bash. Everything it says goes to stderr.

# What the station needs: to be built, and to run.
program_packages=(
  g++ cmake ninja-build pkg-config
  libopencv-dev libturbojpeg0-dev libcamera-dev libcamera-ipa libsdl2-dev libsdl2-ttf-dev
  libcairo2-dev librsvg2-dev libglib2.0-dev libtomlplusplus-dev libcli11-dev libspdlog-dev
  nlohmann-json3-dev libsqlitecpp-dev libpq-dev libsystemd-dev gettext locales
  fonts-b612 libgl1-mesa-dri libegl1
)
# What the tests and the bench need besides.
test_packages=(catch2 libapriltag-dev xvfb xdotool poppler-utils systemd postgresql openssl chromium)

# The compiler cache, where there is one, knows a file again in another clone.
export CCACHE_BASEDIR=$PWD CCACHE_NOHASHDIR=1

say() { printf 'hoopgauge: %s\n' "$*" >&2; }
give_up() { say "$*"; exit 1; }

# install_missing PACKAGE...: one look into dpkg's own list; apt is started only for what is missing there.
install_missing() {
  command -v dpkg-query >/dev/null || give_up "this is not a Debian system; install by its own means: $*"
  local missing
  missing=$(comm -23 <(printf '%s\n' "$@" | sort) \
    <(dpkg-query -W -f '${db:Status-Status} ${Package}\n' "$@" 2>/dev/null | sed -n 's/^installed //p' | sort))
  [ -n "$missing" ] || return 0
  # shellcheck disable=SC2086  # one word a package
  install_packages $missing
}

install_packages() {
  local as_root=()
  if [ "$(id -u)" != 0 ]; then
    command -v sudo >/dev/null ||
      give_up "these packages are missing, and without sudo only root can install them: apt-get install $*"
    as_root=(sudo)
  fi
  say "installing $*"
  local apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=300)
  "${apt[@]}" update >&2 || say "the package lists could not be renewed; going on with those that are there"
  "${apt[@]}" install -y --no-install-recommends "$@" >&2 ||
    give_up "the packages could not be installed (see above); check the network, or install them by hand: $*"
}

# As many compilers at once as there are processors and 800 MB of memory for each.
build_jobs() {
  local processors by_memory
  processors=$(nproc)
  by_memory=$(awk '/^MemAvailable/ { print int($2 / 800000) }' /proc/meminfo 2>/dev/null || true)
  [ "${by_memory:-1}" -ge 1 ] || by_memory=1
  echo $((processors < by_memory ? processors : by_memory))
}

# configure_and_build FOLDER TARGET OPTION...: configures when the folder is new or the options changed; ninja itself
# sees changed files and changed CMake lists.
configure_and_build() {
  local folder=$1 target=$2 options="${*:3}"
  if [ ! -f "$folder/build.ninja" ] || [ "$(cat "$folder/options" 2>/dev/null)" != "$options" ]; then
    say "configuring $folder"
    mkdir -p "$folder"
    cmake -S . -B "$folder" -G Ninja "${@:3}" >"$folder/configure.log" 2>&1 ||
      { cat "$folder/configure.log" >&2; give_up "could not configure $folder; see above"; }
    printf '%s' "$options" >"$folder/options"
  fi
  ninja -C "$folder" -j "$(build_jobs)" "$target" >&2 || give_up "could not build $folder; see above"
}
