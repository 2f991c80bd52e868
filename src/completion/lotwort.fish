# Completion of lotwort for fish: the program itself knows its verbs and options, and the ledger's lots, brews and items.
function __lotwort_complete
    set -l before (commandline -opc)
    set -l begun (commandline -ct)
    set -l found (lotwort --complete $before[2..-1] (string unescape -- "$begun"; or echo "$begun") 2>/dev/null)
    if set -q found[1]
        printf '%s\n' $found
    else
        __fish_complete_path "$begun"
    end
end
complete -c lotwort -f -a '(__lotwort_complete)'
