/*
 * The plant language. Line ends mean nothing to these rules; where the language wants entries on
 * lines of their own or a semicolon between them, TreeBuilder looks at the places of the tokens.
 *
 * Recovery: the rules named in Recovery.java are the ones at whose end reading goes on after an
 * error. No actions here: what the rules mean is in TreeBuilder.
 */
grammar Plant;

// Made by TokenPass, not by the lexer: a word or % directly behind a number on its line; a name that
// begins a command; a name that begins a piece of equipment on a line of its own.
tokens { UNIT, VERB, KIND }

declaration
  : header | reacts | powerMayFail | equipment | condition | level | switchInstrument | analyser
  | panel | logic | hazard | requirement
  ;

header : 'plant' STRING ;
reacts : 'controller' 'reacts' 'within' quantity (',' 'coincident' NUMBER)? ;
powerMayFail : 'power' 'may' 'fail' ;

// ---- equipment: the kind and its words are data, none is a keyword

equipment : kind=(KIND | NAME) TAG STRING? byHand? equipmentBlock? ;
byHand : 'by' 'hand' ;
equipmentBlock : '{' (member ';'?)* '}' ;
member : fails | proves | timing ;
fails : 'fails' state ;
proves : 'proves' feedback (',' feedback)* ;
feedback : state TAG ;
timing : NAME window ;
state : ('at' | 'in')? name ;

// ---- process

condition : 'condition' name STRING? ('comes' 'and' 'goes' | 'holds' 'when' expression) ;
level : 'level' TAG STRING? 'in' unit levelBlock ;
levelBlock : '{' (levelMember ';'?)* '}' ;
levelMember : movement | startsAt ;
movement : number 'to' number 'in' window 'while' expression ;
startsAt : 'starts' 'at' quantity ;

// ---- field

switchInstrument : 'switch' TAG STRING? 'follows' expression ('within' window)? ;
analyser : 'analyser' TAG STRING? 'in' unit side? ;
side : ('above' | 'below') quantity 'within' window 'of' expression ;
panel : 'panel' panelBlock ;
panelBlock : '{' (panelItem ';'?)* '}' ;
panelItem : selector | buttons | setpoint ;
selector : 'selector' name STRING? ':' name (',' name)* ;
buttons : ('button' | 'hold-button') button (',' button)* ;
button : name STRING? ;
setpoint : 'setpoint' name STRING? '=' quantity 'within' window ;

// ---- logic

logic : 'logic' logicBlock ;
logicBlock : '{' (logicItem ';'?)* '}' ;
logicItem : latch | signal | command ;
latch
  : 'retained'? 'latch' name STRING? ':' 'set' 'by' setBy=expression ('when' guard=expression)? ';'?
    'cleared' 'by' clearedBy=expression (';'? dominance)?
  ;
dominance : ('set' | 'cleared') 'wins' ;
signal : 'signal' name STRING? '=' expression ;
command : VERB TAG 'when' expression commandBlock? ;
commandBlock : '{' (inhibit ';'?)* '}' ;
inhibit : ('permissive' | 'interlock') STRING ':' expression | 'trip' STRING ':' expression resetBy? ;
resetBy : 'reset' 'by' expression ;

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
  : 'tolerates' NUMBER ('fault' | 'faults')
  | 'assuming' expression
  | 'without' 'power' 'failure'
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
atom : '(' expression ')' | 'tripped' TAG | subject (predicate | comparison)? ;
subject : TAG | name ;
predicate : 'rises' | 'falls' | 'is' 'not'? ('commanded' | 'proven')? state ;
comparison : ('<' | '<=' | '>' | '>=') (quantity | subject) ;

window : quantity ('..' quantity)? ;
quantity : number UNIT? ;
number : '-'? NUMBER ;
unit : NAME | WORD | '%' ;
// Words of the language that are also the usual names of buttons, selector positions and signals.
name : NAME | 'reset' | 'hand' | 'fault' | 'faults' | 'on' ;

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
CONDITION : 'condition' ;
LEVEL : 'level' ;
SWITCH : 'switch' ;
ANALYSER : 'analyser' ;
PANEL : 'panel' ;
LOGIC : 'logic' ;
HAZARD : 'hazard' ;
REQUIRE : 'require' ;
SELECTOR : 'selector' ;
BUTTON : 'button' ;
HOLD_BUTTON : 'hold-button' ;
SETPOINT : 'setpoint' ;
RETAINED : 'retained' ;
LATCH : 'latch' ;
SIGNAL : 'signal' ;
WHEN : 'when' ;
PERMISSIVE : 'permissive' ;
INTERLOCK : 'interlock' ;
TRIP : 'trip' ;
FAILS : 'fails' ;
PROVES : 'proves' ;
STARTS : 'starts' ;
COMMANDED : 'commanded' ;
PROVEN : 'proven' ;
ABOVE : 'above' ;
SET : 'set' ;
RESET : 'reset' ;
HAND : 'hand' ;
FAULT : 'fault' ;
FAULTS : 'faults' ;
ON : 'on' ;
HELD : 'held' ;
PULSE : 'pulse' ;
RISES : 'rises' ;
FALLS : 'falls' ;
SEMICOLON : ';' ;
COMMA : ',' ;
AT : 'at' ;
IN : 'in' ;
BY : 'by' ;

// Reserved for parts of the language that are not supported yet; no rule takes them.
LATER
  : 'kind' | 'sequence' | 'pipe' | 'path' | 'template' | 'include' | 'scenario' | 'alarm'
  | 'counter' | 'transmitter' | 'bypassable'
  ;
TAG : [A-Z] [A-Z0-9]* ('-' [A-Z0-9]+)+ ;
NAME : [a-z] [a-z0-9_]* ;
WORD : [a-zA-Z] [a-zA-Z0-9_]* ('/' [a-zA-Z0-9]+)* ;
BAD_TAG : [a-zA-Z] [a-zA-Z0-9_]* ('-' [a-zA-Z0-9_]+)+ ;
NUMBER : [0-9]+ ('.' [0-9]+)? ;
STRING : '"' ~["\r\n]* '"' ;
OPEN_STRING : '"' ~["\r\n]* ;
COMMENT : '--' ~[\r\n]* -> channel(HIDDEN) ;
SPACE : [ \t\r\n\f\uFEFF]+ -> skip ;
ODD : ~[\u0000-\u007F]+ | . ;
