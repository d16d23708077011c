/*
 * The plant language. Line ends mean nothing to these rules; where the language wants entries on
 * lines of their own or a semicolon between them, TreeBuilder looks at the places of the tokens.
 *
 * Recovery: the rules named in Recovery.java are the ones at whose end reading goes on after an
 * error. No actions here: what the rules mean is in TreeBuilder.
 */
grammar Plant;

// Made by TokenPass, not by the lexer: a word or % directly behind a number on its line; a name that
// begins a command; a name that begins a piece of equipment on a line of its own; `open` before
// `path` and `flow` before `from` on one line.
tokens { UNIT, VERB, KIND, OPEN, FLOW }

declaration
  : header | reacts | powerMayFail | include | template | use | instances
  | kind | equipment | pipe
  | condition | level | analog | count
  | switchInstrument | analyser | transmitter
  | panel | logic | scenario | hazard | requirement
  ;

header : 'plant' STRING ;
reacts : 'controller' 'reacts' 'within' quantity (',' 'coincident' NUMBER)? ;
powerMayFail : 'power' 'may' 'fail' ;

// ---- one text for several things

include : 'include' STRING ;
template : 'template' name parameters? templateBlock ;
parameters : '(' name (',' name)* ')' ;
templateBlock : '{' declaration* '}' ;
use : 'use' name arguments? ;
instances : NUMBER 'of' name arguments? ('from' NUMBER)? ;
arguments : '(' argument (',' argument)* ')' ;
argument : name '=' (window | expression | STRING) ;

// ---- kinds of equipment: what they are called and do is data, none of it a keyword

kind : 'kind' name STRING? kindBlock ;
kindBlock : '{' (kindMember ';'?)* '}' ;
kindMember
  : kindCommand | kindStates | kindDrives | kindWhen | kindStays | kindMotion | kindPredicate
  | kindProves | kindFails | kindUnpowered | kindStarts | kindFault | kindSuggests | kindPorts
  | kindPasses | kindPumps
  ;
kindCommand : 'command' name ':' state (',' state)+ ;
kindStates : 'states' kindState (',' kindState)* ;
kindState : state STRING? ;
kindDrives : 'driven' 'by' kindDrive (',' kindDrive)* ;
kindDrive : name STRING? ;
kindWhen : 'when' kindMode ('and' kindMode)* answerBlock ;
kindStays : 'stays' answerBlock ;
kindMode : 'not'? ('commanded' state | name) ;
answerBlock : '{' (answer ';'?)* '}' ;
answer : 'from' states 'to' state ;
kindMotion : state 'takes' upTo? name ',' 'then' state STRING? ;
upTo : 'up' 'to' ;
kindPredicate : 'is' state ':' states ;
kindProves : 'proves' kindProof (',' kindProof)* ;
kindProof : state WORD ;
kindFails : 'fails' state ':' behaviour (',' 'starts' states)? ;
kindUnpowered : 'unpowered' ':' behaviour ;
kindStarts : 'starts' states ;
kindFault : 'fault' name STRING? ':' behaviour ('while' states)? ;
behaviour : 'stays' | 'as' 'commanded' state | 'as' 'not'? name ;
kindSuggests : 'commanded' state 'suggests' states ;
kindPorts : 'ports' name (',' name)* ;
kindPasses : 'passes' bothWays? ('from' name 'to' name)? ('while' | 'unless') states ;
bothWays : 'both' 'ways' ;
kindPumps : 'pumps' 'while' states ;
states : state (',' state)* ;

// ---- equipment and piping

equipment : kindWord=(KIND | NAME) TAG STRING? byHand? equipmentBlock? ;
byHand : 'by' 'hand' ;
equipmentBlock : '{' (member ';'?)* '}' ;
member : fails | proves | timing | drive ;
fails : 'fails' state ;
proves : 'proves' feedback (',' feedback)* ;
feedback : state TAG ('within' window)? ;
timing : name window ;
drive : name 'when' expression ;
state : ('at' | 'in') name | 'duty' | 'latched' | 'acknowledged' | name ;

pipe : 'pipe' 'from' pipeEnd ('through' TAG (',' TAG)*)? 'to' pipeEnd ;
pipeEnd : (name | TAG) ('at' name)? ;

// ---- process

condition
  : 'condition' name STRING? ('comes' 'and' 'goes' | 'holds' 'when' expression | causeBlock)
  ;
causeBlock : '{' (cause ';'?)* '}' ;
cause : movesOneStep | initially ;
movesOneStep
  : 'may' ('start' | 'end' | 'rise' | 'fall') 'when' expression
  | 'must' ('start' | 'end' | 'rise' | 'fall') 'within' window 'when' expression
  ;
initially : 'initially' ('present' | 'absent' | NUMBER) ;
count : 'count' name STRING? 'from' NUMBER 'to' NUMBER causeBlock ;
level : 'level' TAG STRING? 'in' unit extent? levelBlock ;
analog : 'analog' name STRING? 'in' unit extent levelBlock ;
extent : 'from' number 'to' number ;
levelBlock : '{' (levelMember ';'?)* '}' ;
levelMember : movement | rate | free | startsAt ;
movement : number 'to' number 'in' window 'while' expression ;
rate : ('rises' | 'falls') 'at' window 'while' expression ;
free : ('jumps' | 'moves' 'gradually') ('while' expression)? ;
startsAt : 'starts' 'at' quantity ;

// ---- field

switchInstrument : 'switch' TAG STRING? wiring? 'follows' expression ('within' window)? ;
wiring : 'normally' name ;
analyser : 'analyser' TAG STRING? 'in' unit side? ;
side : ('above' | 'below') quantity 'within' window 'of' expression ;
transmitter
  : 'transmitter' TAG STRING? 'in' unit extent? 'follows' subject ('within' window)? deadBand?
  ;
deadBand : 'dead' 'band' quantity ;
panel : 'panel' panelBlock ;
panelBlock : '{' (panelItem ';'?)* '}' ;
panelItem : selector | buttons | keys | setpoint ;
selector : 'selector' name STRING? ':' name (',' name)* ;
buttons : ('button' | 'hold-button') button (',' button)* ;
keys : 'key' button (',' button)* ;
button : name STRING? ;
setpoint : 'setpoint' name STRING? '=' quantity 'within' window ('entered' 'in' unit)? ;

// ---- logic

logic : 'logic' logicBlock ;
logicBlock : '{' (logicItem ';'?)* '}' ;
logicItem
  : latch | signal | memory | assignment | counter | duty | alarm | alarmGroup | sequence | command
  ;
latch
  : 'retained'? 'latch' name STRING? ':' 'set' 'by' setBy=expression ('when' guard=expression)? ';'?
    'cleared' 'by' clearedBy=expression (';'? dominance)?
  ;
dominance : ('set' | 'cleared') 'wins' ;
signal : 'signal' name STRING? '=' expression ;
memory : 'retained'? 'memory' name STRING? ':' memoryValues ('starts' memoryValue)? ;
memoryValues : NUMBER '..' NUMBER | name (',' name)+ ;
memoryValue : NUMBER | name ;
assignment : name ':=' assigned ('when' expression)? ;
assigned : NUMBER | name (('+' | '-') NUMBER)? ;
counter
  : 'retained'? 'counter' name STRING? 'to' NUMBER ':' 'up' 'by' up=expression
    (';'? 'down' 'by' down=expression)? ';'? 'cleared' 'by' clearedBy=expression
  ;
duty : 'retained'? 'duty' name STRING? ':' TAG (',' TAG)+ ';'? 'alternates' 'when' expression ;
alarm : 'alarm' TAG STRING? ':' expression latched? ;
latched : 'latched' ;
alarmGroup : 'alarm' 'group' name STRING? firstOut? alarmBlock ;
firstOut : 'first-out' ;
alarmBlock : '{' (alarmItem ';'?)* '}' ;
alarmItem : alarm | acknowledged | groupReset ;
acknowledged : 'acknowledged' 'by' expression ;
groupReset : 'reset' 'by' expression ;
command : VERB TAG ('when' expression)? commandBlock? ;
commandBlock : '{' (commandItem ';'?)* '}' ;
commandItem : inhibit | atState ;
atState : 'at' name 'when' expression ;
inhibit
  : ('permissive' | 'interlock') STRING ':' expression bypass?
  | 'trip' STRING ':' expression resetBy? bypass?
  ;
bypass : 'bypassable' 'by' name ;
resetBy : 'reset' 'by' expression ;

sequence : 'sequence' name STRING? sequenceBlock ;
sequenceBlock : '{' (sequenceItem ';'?)* '}' ;
sequenceItem : step | transition | hold | abort | macro ;
step : ('initial' | 'entry' | 'exit')? 'step' name STRING? ofMacro? stepBlock? ;
ofMacro : 'is' 'macro' name ;
stepBlock : '{' (action ';'?)* '}' ;
action
  : VERB TAG ('at' name)?
  | 'on' ('entry' | 'exit') assignment
  | 'on' ('entry' | 'exit') ('set' | 'clear') name
  ;
transition : 'from' name (',' name)* 'to' name (',' name)* ('when' expression)? ('after' delay)? ;
hold : 'hold' 'when' expression ;
abort : 'abort' 'to' name 'when' expression ;
macro : 'macro' name STRING? sequenceBlock ;

// ---- scenarios

scenario : 'scenario' TAG STRING? ('possible' | 'certain') scenarioBlock ;
scenarioBlock : '{' (scenarioItem ';'?)* '}' ;
scenarioItem : given | happens | seen ;
given : 'given' expression ;
happens : 'at' quantity ':' event (',' event)* ;
event
  : 'press' name | 'hold' name | 'release' name
  | 'turn' subject 'to' state
  | 'power' ('fails' | 'returns')
  | name ('starts' | 'ends')
  | subject 'has' 'fault' fault=name
  ;
seen
  : 'at' quantity 'see' expression
  | 'from' quantity 'to' quantity 'see' expression
  | 'by' quantity 'see' expression
  ;

// ---- claims

hazard : 'hazard' TAG STRING? ':' expression claimOption* ;
requirement : 'require' TAG STRING? ':' promise claimOption* ;
promise
  : 'can' expression                                            # can
  | 'always' 'can' expression                                   # alwaysCan
  | 'after' expression ',' expression 'within' quantity         # response
  | 'never' 'together' expression (',' expression)+             # neverTogether
  | 'once' expression ',' expression 'stays' 'until' expression # stays
  ;
claimOption
  : 'tolerates' NUMBER ('fault' | 'faults') ('of' subject (',' subject)*)? # tolerates
  | 'assuming' expression                                           # assuming
  | 'without' 'power' 'failure'                                     # withoutPower
  | 'severity' name                                                 # severity
  | 'source' STRING                                                 # source
  | 'remark' STRING                                                 # remark
  ;

// ---- expressions, loosest first

expression
  : disjunction (held? 'for' delay)?
  | 'pulse' 'of' delay 'from' disjunction
  ;
held : 'held' 'on' ;
delay : quantity | name ;
disjunction : conjunction ('or' conjunction)* ;
conjunction : negation ('and' negation)* ;
negation : 'not' negation | atom ;
atom
  : '(' expression ')'
  | ('tripped' | 'blocked') TAG
  | howMany 'of' '(' expression (',' expression)* ')'
  | OPEN 'path' 'from' pipeEnd 'to' pipeEnd
  | FLOW 'from' pipeEnd 'to' pipeEnd
  | subject (predicate | comparison)?
  ;
howMany : 'at' ('least' | 'most') NUMBER | 'exactly' NUMBER | 'any' | 'all' | 'none' ;
subject : TAG | name ;
predicate : 'rises' | 'falls' | 'is' 'not'? ('commanded' | 'proven')? state ;
comparison : ('<' | '<=' | '>' | '>=') (quantity | subject) ;

window : quantity ('..' quantity)? ;
quantity : number UNIT? | HOLE ;
number : '-'? NUMBER ;
unit : NAME | WORD | '%' ;
// Words of the language that are also the usual names of buttons, selector positions and signals.
name
  : NAME | HOLE | 'reset' | 'hand' | 'fault' | 'faults' | 'on' | 'start' | 'key' | 'first' | 'up'
  | 'down' | 'present' | 'absent' | 'clear' | 'end' | 'rise' | 'fall' | 'source' | 'ports'
  ;

// ---- words

NOT : 'not' ;
LEFT : '(' ;
RIGHT : ')' ;
LEFT_BRACE : '{' ;
RIGHT_BRACE : '}' ;
PERCENT : '%' ;
PLANT : 'plant' ;
CONTROLLER : 'controller' ;
POWER : 'power' ;
INCLUDE : 'include' ;
TEMPLATE : 'template' ;
USE : 'use' ;
OF : 'of' ;
KIND_OF : 'kind' ;
COMMAND : 'command' ;
STATES : 'states' ;
DRIVEN : 'driven' ;
UNPOWERED : 'unpowered' ;
PORTS : 'ports' ;
PASSES : 'passes' ;
PUMPS : 'pumps' ;
PIPE : 'pipe' ;
PATH : 'path' ;
FROM : 'from' ;
TO : 'to' ;
CONDITION : 'condition' ;
COUNT : 'count' ;
LEVEL : 'level' ;
ANALOG : 'analog' ;
SWITCH : 'switch' ;
ANALYSER : 'analyser' ;
TRANSMITTER : 'transmitter' ;
PANEL : 'panel' ;
LOGIC : 'logic' ;
SCENARIO : 'scenario' ;
HAZARD : 'hazard' ;
REQUIRE : 'require' ;
MAY : 'may' ;
MUST : 'must' ;
START : 'start' ;
END : 'end' ;
RISE : 'rise' ;
FALL : 'fall' ;
INITIALLY : 'initially' ;
PRESENT : 'present' ;
ABSENT : 'absent' ;
JUMPS : 'jumps' ;
MOVES : 'moves' ;
SELECTOR : 'selector' ;
BUTTON : 'button' ;
HOLD_BUTTON : 'hold-button' ;
KEY : 'key' ;
SETPOINT : 'setpoint' ;
RETAINED : 'retained' ;
LATCH : 'latch' ;
SIGNAL : 'signal' ;
MEMORY : 'memory' ;
COUNTER : 'counter' ;
DUTY : 'duty' ;
ALARM : 'alarm' ;
GROUP : 'group' ;
LATCHED : 'latched' ;
FIRST_OUT : 'first-out' ;
FIRST : 'first' ;
ACKNOWLEDGED : 'acknowledged' ;
SEQUENCE : 'sequence' ;
STEP : 'step' ;
INITIAL : 'initial' ;
ENTRY : 'entry' ;
EXIT : 'exit' ;
MACRO : 'macro' ;
HOLD : 'hold' ;
ABORT : 'abort' ;
WHEN : 'when' ;
WHILE : 'while' ;
UNLESS : 'unless' ;
PERMISSIVE : 'permissive' ;
INTERLOCK : 'interlock' ;
TRIP : 'trip' ;
FAILS : 'fails' ;
PROVES : 'proves' ;
STARTS : 'starts' ;
ENDS : 'ends' ;
STAYS : 'stays' ;
COMMANDED : 'commanded' ;
PROVEN : 'proven' ;
ABOVE : 'above' ;
SET : 'set' ;
CLEAR : 'clear' ;
RESET : 'reset' ;
HAND : 'hand' ;
FAULT : 'fault' ;
FAULTS : 'faults' ;
ON : 'on' ;
UP : 'up' ;
DOWN : 'down' ;
HELD : 'held' ;
PULSE : 'pulse' ;
RISES : 'rises' ;
FALLS : 'falls' ;
TRIPPED : 'tripped' ;
BLOCKED : 'blocked' ;
LEAST : 'least' ;
MOST : 'most' ;
EXACTLY : 'exactly' ;
ANY : 'any' ;
ALL : 'all' ;
NONE : 'none' ;
GIVEN : 'given' ;
SEE : 'see' ;
PRESS : 'press' ;
RELEASE : 'release' ;
TURN : 'turn' ;
RETURNS : 'returns' ;
POSSIBLE : 'possible' ;
CERTAIN : 'certain' ;
SOURCE : 'source' ;
SEMICOLON : ';' ;
COMMA : ',' ;
COLON : ':' ;
PLUS : '+' ;
MINUS : '-' ;
AT : 'at' ;
IN : 'in' ;
BY : 'by' ;
AS : 'as' ;

// What a template leaves open, and a range of numbers in a list.
HOLE : OPEN_PART ;
TAG : [A-Z] [A-Z0-9]* ('-' ([A-Z0-9] | OPEN_PART)+)+ ;
NAME : [a-z] ([a-z0-9_] | OPEN_PART)* ;
WORD : [a-zA-Z] [a-zA-Z0-9_]* ('/' [a-zA-Z0-9]+)* | '%' ('/' [a-zA-Z0-9]+)+ ;
BAD_TAG : [a-zA-Z] [a-zA-Z0-9_]* ('-' [a-zA-Z0-9_]+)+ ;
NUMBER : [0-9]+ ('.' [0-9]+)? ;
STRING : '"' ~["\r\n]* '"' ;
OPEN_STRING : '"' ~["\r\n]* ;
COMMENT : '--' ~[\r\n]* -> channel(HIDDEN) ;
SPACE : [ \t\r\n\f\uFEFF]+ -> skip ;
ODD : ~[\u0000-\u007F]+ | . ;

fragment OPEN_PART : '{' ([a-z] [a-z0-9_]* | [0-9]+ '..' [0-9]+) '}' ;
