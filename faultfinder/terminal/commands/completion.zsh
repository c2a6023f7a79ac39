#compdef faultfinder
# zsh: faultfinder completion zsh > a folder of $fpath/_faultfinder, such as ~/.zfunc
_faultfinder_files() { _files }
_faultfinder_jobs() {
  local folder=@FOLDER@
  local -a names; names=($folder/*.yaml(N:t:r))
  (( $#names )) && compadd -a names || _files
}
_faultfinder_packs() {
  compadd @PACKS@; _files
}
_faultfinder() {
  local curcontext=$curcontext state line
  typeset -A opt_args
  _arguments -C @OPTIONS@ '1:command:->command' '*::argument:->argument'
  case $state in
  command)
    local -a known; known=(
@NAMES@
    )
    _describe command known;;
  argument)
    case $line[1] in
@WORDS@
    esac;;
  esac
}
if [ "$funcstack[1]" = _faultfinder ]; then _faultfinder "$@"; else compdef _faultfinder faultfinder; fi
