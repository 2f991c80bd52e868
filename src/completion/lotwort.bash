# Completion of lotwort for bash: the program itself knows its verbs and options, and the ledger's lots, brews and items.
_lotwort() {
    local begun="${COMP_WORDS[COMP_CWORD]}" quote="" word
    case "$begun" in [\"\']*) quote="${begun:0:1}" begun="${begun:1}" ;; esac
    COMPREPLY=()
    while IFS= read -r word; do
        if [ -n "$quote" ]; then COMPREPLY+=("$word"); else COMPREPLY+=("$(printf '%q' "$word")"); fi
    done < <("${COMP_WORDS[0]}" --complete "${COMP_WORDS[@]:1:COMP_CWORD-1}" "$begun" 2>/dev/null)
}
complete -o bashdefault -o default -F _lotwort lotwort
