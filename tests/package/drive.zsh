# zsh -f drive.zsh FOLDER LINE...: what each line is after a tab, by a zsh at a terminal of its own that completes with
# FOLDER/_lotwort. The words that are waited for are broken where they are typed, so that their echo is not taken for them.
zmodload zsh/zpty
zpty shell "zsh -f -i"
zpty -w shell "unset zle_bracketed_paste; PS1= PS2= RPS1=; fpath=(${(q)1} \$fpath); autoload -Uz compinit; compinit -u -D
show() { print -r -- \"<\$BUFFER>\"; BUFFER=; }; zle -N show; bindkey '^X' show; bindkey '^I' complete-word; print rea''dy"
zpty -r shell seen '*ready*'
shift
for line; do
    zpty -w -n shell "$line"$'\t\x18'
    zpty -r shell seen '*<*>*'
    print -r -- "${${seen##*<}%%>*}"
done
zpty -d shell
