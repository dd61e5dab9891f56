# What both scripts count with. Sourced, not run.
passed=0
failed=0

# holds WORDS COMMAND…: a promise in words, and a command that is right where it is kept.
holds() {
  local words="$1" said
  shift
  if said="$("$@" 2>&1)"; then
    passed=$((passed + 1))
    echo "holds: $words"
  else
    failed=$((failed + 1))
    echo "BROKEN: $words"
    printf '%s\n' "$said" | sed 's/^/    /'
  fi
}

# refused WORDS COMMAND…: right where the command fails and gives this reason, and no other.
refused() {
  local words="$1" said
  shift
  if said="$("$@" 2>&1)"; then
    echo "nothing refused it"
    return 1
  fi
  printf '%s\n' "$said" | grep --extended-regexp "$words" || { printf '%s\n' "$said"; false; }
}

# is ANSWER COMMAND…: right where the command ends well and prints just this.
is() {
  local said status=0
  said="$("${@:2}")" || status=$?
  [ "$said" = "$1" ] || { echo "“$said” instead of “$1”"; status=1; }
  [ "$status" -eq 0 ] || { echo "it ended with status $status"; false; }
}

# soon COMMAND…: right as soon as the command is, within a minute.
soon() {
  local until=$((SECONDS + 60)) said
  until said="$("$@" 2>&1)"; do
    if [ "$SECONDS" -ge "$until" ]; then
      printf '%s\n' "$said"
      return 1
    fi
    sleep 0.5
  done
}

closing() {
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ]
}
