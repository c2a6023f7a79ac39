# bash: source <(faultfinder completion bash), or keep it in ~/.local/share/bash-completion/completions/faultfinder
_faultfinder_files() {
  local IFS=$'\n'; compopt -o filenames 2>/dev/null
  COMPREPLY=($(compgen -f -- "$1"))
}
_faultfinder_jobs() {
  local folder=@FOLDER@ names
  names=$(cd "$folder" 2>/dev/null && ls *.yaml 2>/dev/null)
  COMPREPLY=($(compgen -W "${names//.yaml/}" -- "$1"))
  if [ ${#COMPREPLY[@]} -eq 0 ]; then _faultfinder_files "$1"; fi
}
_faultfinder_packs() {
  local packs="@PACKS@"
  _faultfinder_files "$1"; COMPREPLY=($(compgen -W "$packs" -- "$1") "${COMPREPLY[@]}")
}
_faultfinder_words() {
  COMPREPLY=($(compgen -W "$2" -- "$1"))
}
_faultfinder() {
  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} command= word
  COMPREPLY=()
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case " @NAMES@ " in *" $word "*) command=$word; break;; esac
  done
  case "$command $prev" in
@VALUES@
  esac
  case "$command$cur" in
@OPTIONS@
  esac
  case "$command" in
@WORDS@
  esac
}
complete -F _faultfinder faultfinder
