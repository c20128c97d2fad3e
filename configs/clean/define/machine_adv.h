/**
 * Marsh 230, advanced header: protection figures, fans, drivers.
 */
#pragma once

//=============================================================================
// Thermistors described by figures (only with the user's own table, 1000)
//=============================================================================

#if TEMP_SENSOR_0 == 1000
  #define HOTEND0_PULLUP_RESISTOR_OHMS 4700
  #define HOTEND0_RESISTANCE_25C_OHMS  100000
  #define HOTEND0_BETA                 4267
#endif

#if TEMP_SENSOR_BED == 1000
  #define BED_PULLUP_RESISTOR_OHMS     4700
  #define BED_RESISTANCE_25C_OHMS      100000
  #define BED_BETA                     3950
#endif

#if DISABLED(PIDTEMPBED)
  #define BED_CHECK_INTERVAL 5000
  #if ENABLED(BED_LIMIT_SWITCHING)
    #define BED_HYSTERESIS 2
  #endif
#endif

//=============================================================================
// Thermal protection
//=============================================================================

#if ENABLED(THERMAL_PROTECTION_HOTENDS)
  #define THERMAL_PROTECTION_PERIOD 20        // s
  #define THERMAL_PROTECTION_HYSTERESIS 4     // K

  //#define ADAPTIVE_FAN_SLOWING

  #define WATCH_TEMP_PERIOD 40                // s
  #define WATCH_TEMP_INCREASE 2               // K
#endif

#if ENABLED(THERMAL_PROTECTION_BED)
  #define THERMAL_PROTECTION_BED_PERIOD 20
  #define THERMAL_PROTECTION_BED_HYSTERESIS 2

  #define WATCH_BED_TEMP_PERIOD 60
  #define WATCH_BED_TEMP_INCREASE 2
#endif

#if ENABLED(THERMAL_PROTECTION_CHAMBER)
  #define THERMAL_PROTECTION_CHAMBER_PERIOD 20
  #define THERMAL_PROTECTION_CHAMBER_HYSTERESIS 2
  #define WATCH_CHAMBER_TEMP_PERIOD 60
  #define WATCH_CHAMBER_TEMP_INCREASE 2
#endif

#if ENABLED(PIDTEMP)
  //#define PID_EXTRUSION_SCALING
  //#define PID_FAN_SCALING
#endif

#define AUTOTEMP
#if ENABLED(AUTOTEMP)
  #define AUTOTEMP_OLDWEIGHT 0.98
#endif

//#define MAX_CONSECUTIVE_LOW_TEMPERATURE_ERROR_ALLOWED 0

//=============================================================================
// Fans
//=============================================================================

//#define USE_CONTROLLER_FAN
#if ENABLED(USE_CONTROLLER_FAN)
  //#define CONTROLLER_FAN_PIN PB7
  #define CONTROLLERFAN_SPEED_MIN      0
  #define CONTROLLERFAN_SPEED_ACTIVE 255
  #define CONTROLLERFAN_IDLE_TIME     60
#endif

#define FAN_KICKSTART_TIME 100
//#define FAN_OFF_PWM 1
//#define FAN_MIN_PWM 50
//#define FAN_MAX_PWM 128

//#define FAST_PWM_FAN
#if ENABLED(FAST_PWM_FAN)
  #define FAST_PWM_FAN_FREQUENCY 1000
#endif

// The hot-end fan runs by itself as soon as the block is warm
#define E0_AUTO_FAN_PIN PB6
#define E1_AUTO_FAN_PIN -1
#define E2_AUTO_FAN_PIN -1
#define E3_AUTO_FAN_PIN -1
#define E4_AUTO_FAN_PIN -1
#define E5_AUTO_FAN_PIN -1
#define E6_AUTO_FAN_PIN -1
#define E7_AUTO_FAN_PIN -1
#define CHAMBER_AUTO_FAN_PIN -1

#define EXTRUDER_AUTO_FAN_TEMPERATURE 50
#define EXTRUDER_AUTO_FAN_SPEED 255   // of 255
#define CHAMBER_AUTO_FAN_TEMPERATURE 30
#define CHAMBER_AUTO_FAN_SPEED 255

//#define CASE_LIGHT_ENABLE
#if ENABLED(CASE_LIGHT_ENABLE)
  //#define CASE_LIGHT_PIN PB13
  #define INVERT_CASE_LIGHT false
#endif

//=============================================================================
// Homing and probe
//=============================================================================

#define SENSORLESS_BACKOFF_MM  { 2, 2, 0 }
#define HOMING_BUMP_MM      { 5, 5, 2 }
#define HOMING_BUMP_DIVISOR { 2, 2, 4 }
//#define QUICK_HOME

#if ENABLED(BLTOUCH)
  //#define BLTOUCH_DELAY 500
  //#define BLTOUCH_SET_5V_MODE
  #define BLTOUCH_HS_MODE false
#endif

#define AXIS_RELATIVE_MODES { false, false, false, false }
#define DEFAULT_STEPPER_DEACTIVE_TIME 120
#define DISABLE_INACTIVE_X true
#define DISABLE_INACTIVE_Y true
#define DISABLE_INACTIVE_Z true
#define DISABLE_INACTIVE_E true

#define BABYSTEPPING
#if ENABLED(BABYSTEPPING)
  #define BABYSTEP_MULTIPLICATOR_Z  1
  #define BABYSTEP_MULTIPLICATOR_XY 1
  //#define BABYSTEP_ZPROBE_OFFSET
#endif

#define LIN_ADVANCE
#if ENABLED(LIN_ADVANCE)
  #define LIN_ADVANCE_K 0.05
#endif

#define ADVANCED_PAUSE_FEATURE
#if ENABLED(ADVANCED_PAUSE_FEATURE)
  #define PAUSE_PARK_RETRACT_FEEDRATE 60
  #define PAUSE_PARK_RETRACT_LENGTH    2
  #define FILAMENT_CHANGE_UNLOAD_LENGTH 80
  #define FILAMENT_CHANGE_FAST_LOAD_LENGTH 0
#endif

//=============================================================================
// Motor drivers
//=============================================================================

#if HAS_DRIVER(TMC2209)
  #define HOLD_MULTIPLIER 0.5
#endif

#define X_CURRENT       900      // mA RMS
#define X_CURRENT_HOME  (X_CURRENT / 2)
#define X_MICROSTEPS    16
#define X_RSENSE        0.11

#define Y_CURRENT       900
#define Y_CURRENT_HOME  (Y_CURRENT / 2)
#define Y_MICROSTEPS    16
#define Y_RSENSE        0.11

#define Z_CURRENT       800
#define Z_CURRENT_HOME  Z_CURRENT
#define Z_MICROSTEPS    16
#define Z_RSENSE        0.11

#define E0_CURRENT      700
#define E0_MICROSTEPS   16
#define E0_RSENSE       0.11

#define STEALTHCHOP_XY
#define STEALTHCHOP_Z
#define STEALTHCHOP_E
#define CHOPPER_TIMING CHOPPER_DEFAULT_24V
#define MONITOR_DRIVER_STATUS
#define CURRENT_STEP_DOWN 50
//#define HYBRID_THRESHOLD
//#define SENSORLESS_HOMING

//=============================================================================
// Host and memory
//=============================================================================

#define BLOCK_BUFFER_SIZE 16
#define MAX_CMD_SIZE 96
#define BUFSIZE 4
#define TX_BUFFER_SIZE 0
#define EMERGENCY_PARSER
#define ARC_SUPPORT
#if ENABLED(ARC_SUPPORT)
  #define MIN_ARC_SEGMENT_MM 0.1
  #define MAX_ARC_SEGMENT_MM 1.0
#endif
#define AUTO_REPORT_TEMPERATURES
#define EXTENDED_CAPABILITIES_REPORT
//#define PINS_DEBUGGING
